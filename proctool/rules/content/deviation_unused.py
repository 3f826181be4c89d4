"""@@PAGE@@"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule(
    "content/deviation-unused",
    page=__doc__,
    level=Level.WARNING,
)

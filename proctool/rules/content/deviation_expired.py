"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "content/deviation-expired",
    page=__doc__,
)

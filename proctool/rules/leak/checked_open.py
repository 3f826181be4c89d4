"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/checked-open",
    page=__doc__,
    of_proof=True,
    message="The {part} is leak-checked while it stands open.",
    help="Close it first.",
)

"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/left-open",
    page=__doc__,
    of_proof=True,
    message="At the end the {part} still stands open.",
    help="Close it, or say in `leaves` that it stays open.",
)

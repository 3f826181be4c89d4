"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/left-uncovered",
    page=__doc__,
    of_proof=True,
    message="At the end the cover of the {part} is still off.",
    help="Put it on, or say in `leaves` that it stays off.",
)

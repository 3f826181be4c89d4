"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/not-restored",
    page=__doc__,
    of_proof=True,
    message="At the end the {part} is not as it was, and not as `leaves` says.",
    help="Put it back to its normal state, or say in `leaves` how it is left.",
)

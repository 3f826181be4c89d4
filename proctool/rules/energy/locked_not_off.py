"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/locked-not-off",
    page=__doc__,
    of_proof=True,
    message="A lock is put on the {part} before it is off.",
    help="Turn it off, then lock it.",
)

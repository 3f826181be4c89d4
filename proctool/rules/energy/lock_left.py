"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/lock-left",
    page=__doc__,
    of_proof=True,
    message="At the end a lock is still on the {part}.",
    help="Take it off, or say in `leaves` that it stays.",
)

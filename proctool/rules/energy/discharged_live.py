"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/discharged-live",
    page=__doc__,
    of_proof=True,
    message="The {part} is discharged while {energies} still feeds it.",
    help="Isolate it first: what is fed fills up again.",
)

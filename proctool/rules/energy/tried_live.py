"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/tried-live",
    page=__doc__,
    of_proof=True,
    message="The start of the {part} is tried while {energies} still drives it.",
    help="Isolate it first: the try shall show that nothing starts.",
)

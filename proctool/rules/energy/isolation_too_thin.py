"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/isolation-too-thin",
    page=__doc__,
    of_proof=True,
    message="The {part} stands open behind less isolation than {energies} asks for.",
    help="Isolate twice; for double block and bleed open the vent between the two.",
)

"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/left-unlocked",
    page=__doc__,
    of_proof=True,
    message="The {part} is left open and no lock keeps {energies} away.",
    help="Close it, or leave the isolators locked.",
)

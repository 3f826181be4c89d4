"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/opened-unlocked",
    page=__doc__,
    of_proof=True,
    message="The {part} stands open while nothing secures what keeps {energies} away.",
    help="Lock each isolator between it and a source before it is opened, and keep the locks on.",
)

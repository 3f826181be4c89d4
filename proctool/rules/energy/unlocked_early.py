"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/unlocked-early",
    page=__doc__,
    of_proof=True,
    message="The lock comes off the {part} while a part behind it stands open to {energies}.",
    help="Close what stands open first.",
)

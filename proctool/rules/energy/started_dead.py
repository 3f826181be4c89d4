"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/started-dead",
    page=__doc__,
    of_proof=True,
    message="The {part} is started while nothing drives it.",
    help="Restore {energies} first.",
)

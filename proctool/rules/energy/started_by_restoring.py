"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/started-by-restoring",
    page=__doc__,
    of_proof=True,
    message="The {part} starts by itself when {energies} comes back.",
    help="Stop it before its energy is cut, and start it by its own control at the end.",
)

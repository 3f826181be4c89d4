"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/opened-charged",
    page=__doc__,
    never=True,
    of_proof=True,
    message="The {part} is opened with {energies} still trapped in it.",
    help="Let it out through a vent with a sure way to the part, or discharge it, after isolating.",
)

"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/energised-open",
    page=__doc__,
    never=True,
    of_proof=True,
    message="This sends {energies} into the {part} while it stands open.",
    help="Close the part before anything is reconnected.",
)

"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/uncovered-live",
    page=__doc__,
    of_proof=True,
    message="The cover of the {part} comes off while {energies} is live behind it.",
    help="Isolate and lock first; a charge that is left is tested for behind the cover.",
)

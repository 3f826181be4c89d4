"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/opened-unproven",
    page=__doc__,
    of_proof=True,
    message="The {part} is opened before zero of {energies} is verified, or after it could come back.",
    help="Verify zero with a gauge, a tester or an open vent, and leave the way out open until then.",
)

"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/wet-near-live",
    page=__doc__,
    of_proof=True,
    message="A wet part is opened beside the {part}, whose {energies} is not dead.",
    help="Isolate the electricity of what stands near first.",
)

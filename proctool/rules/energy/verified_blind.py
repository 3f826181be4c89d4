"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/verified-blind",
    page=__doc__,
    of_proof=True,
    message="What is looked at cannot show zero of {energies} at the {part}.",
    help="Use a gauge or an open vent that nothing can block off from the part.",
)

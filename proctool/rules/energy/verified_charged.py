"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/verified-charged",
    page=__doc__,
    of_proof=True,
    message="Zero of {energies} is verified at the {part} while it cannot be zero.",
    help="Isolate and relieve the part first.",
)

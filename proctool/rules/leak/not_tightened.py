"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/not-tightened",
    page=__doc__,
    of_proof=True,
    message="{energies} comes to the {part} before it is tight.",
    help="Tighten it to its value before refilling.",
)

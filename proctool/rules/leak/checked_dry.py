"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/checked-dry",
    page=__doc__,
    of_proof=True,
    message="The {part} is leak-checked without pressure of {energies}, or with a way out open.",
    help="Shut the vents and restore full pressure first.",
)

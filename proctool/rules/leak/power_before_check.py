"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/power-before-check",
    page=__doc__,
    of_proof=True,
    message="Electricity of the {part} comes back before the wet part beside it is leak-checked.",
    help="Do the leak check first.",
)

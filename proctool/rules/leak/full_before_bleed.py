"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/full-before-bleed",
    page=__doc__,
    of_proof=True,
    message="The {part} comes to full pressure of {energies} with air trapped in it.",
    help="Fill slowly, let the air out, then open fully.",
)

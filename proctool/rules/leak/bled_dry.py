"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/bled-dry",
    page=__doc__,
    of_proof=True,
    message="Air is let out of the {part} while no fluid feeds it.",
    help="Let it fill first, slowly.",
)

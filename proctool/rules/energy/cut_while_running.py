"""@@PAGE@@"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule(
    "energy/cut-while-running",
    page=__doc__,
    level=Level.WARNING,
    of_proof=True,
    message="{energies} is cut while the {part} runs.",
    help="Stop the machine before its energy is cut.",
)

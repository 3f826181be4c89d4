"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "graph/end-unsafe",
    page=__doc__,
    never=True,
    of_proof=True,
    message="When the job stops here, the {part} is left open, charged or unsecured ({energies}).",
    help="Make it safe before stopping: close, or isolate, lock and relieve.",
)

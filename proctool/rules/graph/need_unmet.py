"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "graph/need-unmet",
    page=__doc__,
    of_proof=True,
    message="What this step needs of the {part} does not hold in every order.",
    help="Do what brings it about before this step, or order the steps.",
)

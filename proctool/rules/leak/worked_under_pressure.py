"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/worked-under-pressure",
    page=__doc__,
    of_proof=True,
    message="A joint of the {part} is worked on with {energies} in it.",
    help="Isolate and relieve the part first; never tighten under pressure.",
)

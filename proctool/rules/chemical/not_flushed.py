"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "chemical/not-flushed",
    page=__doc__,
    of_proof=True,
    message="At the end {energies} that was brought in is still in the {part}.",
    help="Flush it.",
)

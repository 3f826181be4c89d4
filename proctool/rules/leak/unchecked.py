"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/unchecked",
    page=__doc__,
    of_proof=True,
    message="The {part} was opened and is never leak-checked at full pressure.",
    help="After refilling to full pressure, with vents shut, look at it: `leak_check`.",
)

"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/seal-not-inspected",
    page=__doc__,
    of_proof=True,
    message="The {part} is closed and its seal was not looked at.",
    help="Inspect the seal or fit a new one while the part stands open.",
)

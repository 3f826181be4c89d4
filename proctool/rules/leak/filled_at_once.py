"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/filled-at-once",
    page=__doc__,
    of_proof=True,
    message="{energies} comes to the {part} at full flow, before its leak check.",
    help="Open the isolator a little first: `throttle`.",
)

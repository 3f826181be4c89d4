"""@@PAGE@@"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/moved-locked",
    page=__doc__,
    of_proof=True,
    message="The {part} is moved while a lock is on it.",
    help="Take the lock off first.",
)

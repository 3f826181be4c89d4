"""A device is not moved while a lock is on it.

Why: A good lock does not let it move, so the step cannot be done as written; a poor one gives way, and then
it protected nobody.

Source: 29 CFR 1910.147(b), "lockout": the isolating device cannot be operated until the lock is taken off.

Bad::

    steps:
      - use: make-safe
      - restore: inlet_valve
      - unlock: inlet_valve

Good::

    steps:
      - use: make-safe
      - unlock: inlet_valve
      - restore: inlet_valve
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/moved-locked",
    page=__doc__,
    of_proof=True,
    message="The {part} is moved while a lock is on it.",
    help="Take the lock off first.",
)

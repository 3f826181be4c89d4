"""A start is tried only on a machine that is cut off: the try shall show that nothing happens.

Why: Pressing start on a machine that is still fed does not test the isolation, it starts the machine, with a
technician beside it who expects silence.

Source: 29 CFR 1910.147 Appendix A: after isolating, locking and relieving, and after checking that nobody is
exposed, the normal controls are operated, then returned to off.

Bad::

    steps:
      - stop: pump
      - try_start: pump
      - isolate: plug
        lock: plug

Good::

    steps:
      - stop: pump
      - isolate: plug
        lock: plug
      - try_start: pump
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/tried-live",
    page=__doc__,
    of_proof=True,
    message="The start of the {part} is tried while {energies} still drives it.",
    help="Isolate it first: the try shall show that nothing starts.",
)

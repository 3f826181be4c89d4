"""At the end no lock is left on, unless the procedure says that it stays.

Why: A lock says that somebody is in danger behind it. One that was forgotten stops the plant, sends people
looking for its owner, and teaches the crew that locks may be cut.

Source: 29 CFR 1910.147(e)(3): each lock is taken off by the person who put it on, which happens while that
person is still there.

Bad::

    leaves: {inlet_valve: closed}
    steps:
      - do: Close the <inlet_valve> for the winter and lock it.
        isolate: inlet_valve
        lock: inlet_valve

Good::

    leaves: {inlet_valve: [closed, locked]}
    steps:
      - do: Close the <inlet_valve> for the winter and lock it.
        isolate: inlet_valve
        lock: inlet_valve
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/lock-left",
    page=__doc__,
    of_proof=True,
    message="At the end a lock is still on the {part}.",
    help="Take it off, or say in `leaves` that it stays.",
)

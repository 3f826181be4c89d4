"""A lock goes on a device that is off, never on one that still passes its energy.

Why: A lock holds a device where it stands. On an open valve it holds the danger on, looks like protection,
and keeps the next person from closing it.

Source: 29 CFR 1910.147(d)(3) and (d)(4): the isolating devices are operated, then the locks are put on.

Bad::

    steps:
      - lock: inlet_valve
      - isolate: inlet_valve

Good::

    steps:
      - isolate: inlet_valve
      - lock: inlet_valve
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/locked-not-off",
    page=__doc__,
    of_proof=True,
    message="A lock is put on the {part} before it is off.",
    help="Turn it off, then lock it.",
)

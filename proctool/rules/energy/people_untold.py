"""Affected people are told before anything is isolated, and after it is restored.

Why: Who finds a machine dead tries to start it. Who thinks it still locked reaches into it. An act `tell`
says who is told; a sentence alone is not seen by the proof. Asked where a unit is worked on under lockout.

Source: 29 CFR 1910.147(c)(9): affected employees are notified before the controls are applied and after they
are removed.

Bad::

    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
      - do: Tell the crew that the unit is locked.
        tell: crew

Good::

    steps:
      - do: Tell the crew that the unit stops.
        tell: crew
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule("energy/people-untold", page=__doc__, level=Level.WARNING)

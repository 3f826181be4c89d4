"""A part that is closed stands open at that moment, in every order.

Why: Who closes a part has opened it. Where no act says so the proof never saw it open, and asked for nothing:
no zero, no lock, no leak check.

Source: Common practice, no source.

Bad::

    steps:
      - use: make-safe
      - do: Take the cap off the <housing> and look inside.
      - do: Screw the <housing> on.
        close: housing

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing> and look inside.
        open: housing
      - do: Screw the <housing> on.
        close: housing
"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule("graph/closed-unopened", page=__doc__, level=Level.WARNING)

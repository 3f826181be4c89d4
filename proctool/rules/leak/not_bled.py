"""A part that was drained and traps air is bled before it comes to full pressure again.

Why: Air comes in behind the water that runs out of an open vent, also where nothing was opened. A technician
cannot see afterwards whether the housing ran empty. Air that stays in it is a spring under the full flow.

Source: Common practice. Town codes on pressure tests of pipes ask the same (Greentown 154.128: fill slowly,
and let all air out through vents before test pressure).

Bad::

    steps:
      - use: make-safe
      - do: Look at the <inlet_valve> from all sides.
      - shut: drain
      - unlock: inlet_valve
      - restore: inlet_valve

Good::

    steps:
      - use: make-safe
      - do: Look at the <inlet_valve> from all sides.
      - shut: drain
      - unlock: inlet_valve
      - throttle: inlet_valve
      - vent: drain
      - do: Wait until water without air comes out of the <drain>.
        bleed: housing
      - shut: drain
      - restore: inlet_valve
"""

from proctool.model.finding import Level
from proctool.rules.rule import Rule

RULE = Rule("leak/not-bled", page=__doc__, level=Level.WARNING)

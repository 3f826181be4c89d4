"""A part is bled while a way out for its air stands open.

Why: With the relief button shut nothing comes out, and who ticks the step believes that the air is gone. It
is still there when the full flow comes, and drives the pieces away if the housing bursts. A vent behind a
cartridge does not count: a cartridge may be blocked.

Source: Common practice. Town codes on pressure tests of pipes ask that all air be let out through vents
before test pressure (Greentown 154.128).

Bad::

    steps:
      - use: make-safe
      - shut: drain
      - unlock: inlet_valve
      - throttle: inlet_valve
      - bleed: housing          # the drain is shut already
      - restore: inlet_valve

Good::

    steps:
      - use: make-safe
      - shut: drain
      - unlock: inlet_valve
      - throttle: inlet_valve
      - vent: drain
      - do: Wait until water without air comes out of the <drain>.
        bleed: housing
      - shut: drain
      - restore: inlet_valve
"""

from proctool.rules.rule import Rule

RULE = Rule("leak/bled-shut", page=__doc__)

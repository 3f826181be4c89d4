"""Every part that was opened is looked at for leaks, at full pressure, before the job ends.

Why: Opening a joint makes it a new joint. A few drops a minute fill a cellar over a weekend, and a joint
that only weeps at low pressure can let go at full pressure.

Source: ASME B31.3-2016 345.7, initial service leak test: joints that were not tested before are examined at
operating pressure.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - inspect_seal: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - unlock: inlet_valve
      - throttle: inlet_valve
      - bleed: housing
      - shut: drain
      - restore: inlet_valve
      - unlock: plug
      - restore: plug
      - start: pump

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - inspect_seal: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - use: restore            # fills it, then looks at it
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/unchecked",
    page=__doc__,
    of_proof=True,
    message="The {part} was opened and is never leak-checked at full pressure.",
    help="After refilling to full pressure, with vents shut, look at it: `leak_check`.",
)

"""A leak check is made under every fluid that can come to the part, with all ways out shut.

Why: A joint without pressure does not leak, whatever is wrong with it. With a vent open the pressure never
builds up, and the check passes for the wrong reason.

Source: ASME B31.3-2016 345.7.3, initial service leak test: joints are examined at operating pressure.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - shut: drain
      - check: No water comes out at the <housing>.       # none could: the inlet valve is shut
        leak_check: housing
        for: 2 min
        otherwise: {end_here: Leave the locks on and call for help.}

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - unlock: inlet_valve
      - throttle: inlet_valve
      - bleed: housing
      - shut: drain
      - restore: inlet_valve
      - check: No water comes out at the <housing>.
        leak_check: housing
        for: 2 min
        otherwise: {steps: [{use: make-safe}], end_here: Call for help.}
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/checked-dry",
    page=__doc__,
    of_proof=True,
    message="The {part} is leak-checked without pressure of {energies}, or with a way out open.",
    help="Shut the vents and restore full pressure first.",
)

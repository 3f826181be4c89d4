"""Air is let out of a part only while a fluid pushes it out.

Why: An open bleed on an empty housing lets no air out. Whoever ticks this step believes that the air is
gone; it is driven along with the first full flow.

Source: Common practice. Town codes on pressure tests of pipes ask the same (Greentown 154.128: fill slowly,
and let all air out through vents before test pressure).

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - bleed: housing          # the inlet valve is still shut
      - shut: drain

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
      - do: Wait until water without air comes out of the <drain>.
        bleed: housing
      - shut: drain
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/bled-dry",
    page=__doc__,
    of_proof=True,
    message="Air is let out of the {part} while no fluid feeds it.",
    help="Let it fill first, slowly.",
)

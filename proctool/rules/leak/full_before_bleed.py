"""Trapped air is let out of a part before it comes to full pressure.

Why: Air in a closed housing is a spring: it keeps what the water brings, hammers the pipes, and drives the
pieces away if the housing bursts.

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
      - shut: drain
      - unlock: inlet_valve
      - throttle: inlet_valve
      - restore: inlet_valve

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
      - restore: inlet_valve
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/full-before-bleed",
    page=__doc__,
    of_proof=True,
    message="The {part} comes to full pressure of {energies} with air trapped in it.",
    help="Fill slowly, let the air out, then open fully.",
)

"""A part that was opened is refilled with its valve opened a little first.

Why: Full flow into an empty housing hammers it, lifts a seal that sits badly, and floods the floor before
anyone can reach the valve. A little flow shows a bad joint while it is still harmless.

Source: ASME B31.3-2016 345.8(b), a preliminary check at low pressure; 345.7.2, pressure is raised in steps
(from memory).

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - unlock: inlet_valve
      - do: Turn the <inlet_valve> fully open.
        restore: inlet_valve

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - unlock: inlet_valve
      - do: Open the <inlet_valve> a quarter turn.
        throttle: inlet_valve
      - bleed: housing
      - shut: drain
      - do: Turn the <inlet_valve> fully open.
        restore: inlet_valve
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/filled-at-once",
    page=__doc__,
    of_proof=True,
    message="{energies} comes to the {part} at full flow, before its leak check.",
    help="Open the isolator a little first: `throttle`.",
)

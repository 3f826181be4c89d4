"""At the end nothing stands open that the procedure does not leave open on purpose.

Why: Whoever comes next trusts that the unit is whole. An open housing is found by the water, or by a hand.

Source: 29 CFR 1910.147(e)(1): before locks come off and energy comes back, the components of the machine
are intact.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Take the used cartridge out.
        remove: cartridge

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Take the used cartridge out.
        remove: cartridge
    leaves:
      housing: open
      inlet_valve: [closed, locked]
      plug: [unplugged, locked]
      drain: open
      pump: stopped
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "leak/left-open",
    page=__doc__,
    of_proof=True,
    message="At the end the {part} still stands open.",
    help="Close it, or say in `leaves` that it stays open.",
)

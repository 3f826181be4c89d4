"""No lock comes off while a part behind it stands open.

Why: Nothing happens when the lock comes off, and so it is taken for harmless. From then on one turn of the
valve, by anyone, reaches the hands in the open part.

Source: 29 CFR 1910.147(e)(1) and (e)(2)(i): before locks come off, the machine is whole again and everyone is
clear of it.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - unlock: inlet_valve
      - inspect_seal: housing
      - do: Screw the <housing> on.
        close: housing

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - inspect_seal: housing
      - do: Screw the <housing> on.
        close: housing
      - unlock: inlet_valve
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/unlocked-early",
    page=__doc__,
    of_proof=True,
    message="The lock comes off the {part} while a part behind it stands open to {energies}.",
    help="Close what stands open first.",
)

"""No act sends energy into a part that stands open.

Why: The part was dead when it was opened, and whoever works in it trusts that it stays so. A valve that is
opened or a plug that is pushed in one step too early lets the energy out at their hands. A charged tank that
is joined to the opening counts as well, though it empties at once: it empties there.

Source: 29 CFR 1910.147(e)(1) and (e)(2)(i): before energy is restored the work area is inspected, the machine
is whole again, and everyone is clear of it.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - unlock: inlet_valve
      - throttle: inlet_valve
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
      - tighten: housing
      - unlock: inlet_valve
      - throttle: inlet_valve
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/energised-open",
    page=__doc__,
    never=True,
    of_proof=True,
    message="This sends {energies} into the {part} while it stands open.",
    help="Close the part before anything is reconnected.",
)

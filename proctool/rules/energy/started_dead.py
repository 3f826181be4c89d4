"""A machine is started only when the energy that drives it is back.

Why: A start button that does nothing is pressed again, and then left on: the machine runs when somebody else
restores the energy. If nothing happens where something should, the reader no longer trusts the page.

Source: Common practice, no source. 29 CFR 1910.147 Appendix A re-energises before the machine is used again.

Bad::

    steps:
      - use: make-safe
      - shut: drain
      - unlock: [inlet_valve, plug]
      - restore: inlet_valve
      - start: pump
      - restore: plug

Good::

    steps:
      - use: make-safe
      - shut: drain
      - unlock: [inlet_valve, plug]
      - restore: inlet_valve
      - restore: plug
      - start: pump
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/started-dead",
    page=__doc__,
    of_proof=True,
    message="The {part} is started while nothing drives it.",
    help="Restore {energies} first.",
)

"""Restoring energy starts nothing by itself: each machine is switched off before its energy comes back.

Why: Whoever pushes the plug in looks at the plug, not at the machine. One that was never switched off, or
that was found switched on, runs at that moment, whoever has a hand near it.

Source: 29 CFR 1910.147 Appendix A: the controls are verified to be in neutral before the machine is re-
energised. ISO 14118:2017 is about unexpected start-up; only its scope was read.

Bad::

    starts: {plug: unplugged}
    steps:
      - do: Plug the <plug> in.
        restore: plug

Good::

    starts: {plug: unplugged}
    steps:
      - do: Set the switch of the <pump> to off.
        stop: pump
      - do: Plug the <plug> in.
        restore: plug
      - start: pump
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/started-by-restoring",
    page=__doc__,
    of_proof=True,
    message="The {part} starts by itself when {energies} comes back.",
    help="Stop it before its energy is cut, and start it by its own control at the end.",
)

"""Nothing is opened with energy still trapped in it.

Why: Cut off is not empty. Pressure stays behind a closed valve, a capacitor keeps its charge, a hot part its
heat, until a way out that nothing can block, a discharge or a wait has let it go.

Source: 29 CFR 1910.147(d)(5)(i): stored or residual energy is relieved, disconnected, restrained or made
safe. Its Appendix A names capacitors, springs, raised members, and air, gas, steam or water pressure.

Bad::

    steps:
      - stop: pump
      - isolate: inlet_valve
        lock: inlet_valve
      - isolate: plug
        lock: plug
      - do: Unscrew the <housing>.
        open: housing

Good::

    steps:
      - stop: pump
      - isolate: inlet_valve
        lock: inlet_valve
      - isolate: plug
        lock: plug
      - vent: drain
      - verify_zero: housing
        otherwise: {end_here: Leave the locks on. Call for help.}
      - do: Unscrew the <housing>.
        open: housing
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/opened-charged",
    page=__doc__,
    never=True,
    of_proof=True,
    message="The {part} is opened with {energies} still trapped in it.",
    help="Let it out through a vent with a sure way to the part, or discharge it, after isolating.",
)

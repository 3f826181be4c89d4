"""Zero is verified where zero can be found: after the part is cut off and relieved.

Why: A check that cannot be passed is ticked off all the same, or it stops the job every time. Either way the
people who use the page learn that this check means nothing.

Source: 29 CFR 1910.147(d)(5) and (d)(6): stored energy is relieved, then isolation is verified.

Bad::

    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
      - verify_zero: housing
        otherwise: {end_here: Leave the locks on. Call for help.}
      - vent: drain

Good::

    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
      - vent: drain
      - verify_zero: housing
        otherwise: {end_here: Leave the locks on. Call for help.}
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/verified-charged",
    page=__doc__,
    of_proof=True,
    message="Zero of {energies} is verified at the {part} while it cannot be zero.",
    help="Isolate and relieve the part first.",
)

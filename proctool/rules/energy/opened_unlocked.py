"""Each device that keeps energy away from an opened part is locked, as long as the part stands open.

Why: A closed valve is one passer-by away from an open one. The lock is what makes "off" last until the work
is done; exclusive control of the one plug does the same only where nothing else feeds the unit.

Source: 29 CFR 1910.147(d)(4): locks are put on each isolating device; (a)(2)(iii)(A) for the one plug under
the exclusive control of whoever does the work.

Bad::

    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
      - vent: drain
      - verify_zero: housing
        otherwise: {end_here: Leave the locks on. Call for help.}
      - do: Unscrew the <housing>.
        open: housing

Good::

    steps:
      - stop: pump
      - acts: [{isolate: inlet_valve}, {lock: inlet_valve}, {isolate: plug}, {lock: plug}]
      - vent: drain
      - verify_zero: housing
        otherwise: {end_here: Leave the locks on. Call for help.}
      - do: Unscrew the <housing>.
        open: housing
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/opened-unlocked",
    page=__doc__,
    of_proof=True,
    message="The {part} stands open while nothing secures what keeps {energies} away.",
    help="Lock each isolator between it and a source before it is opened, and keep the locks on.",
)

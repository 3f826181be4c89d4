"""Where a job stops in the middle, the unit is safe to walk away from.

Why: Who stops goes to fetch a part, to call for help, or home. What stands open must then be at zero and
locked, and a joint that nobody has looked at must not be under pressure.

Source: 29 CFR 1910.147(f)(4): protection goes on when one person leaves and another takes over; for joints
that were not looked at, common practice.

Bad::

    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
      - vent: drain
      - verify_zero: housing
      - do: Unscrew the <housing>.
        open: housing
      - check: The seal of the <housing> has no cut.
        inspect_seal: housing
        otherwise: {end_here: Fetch a new seal.}

Good::

    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
      - vent: drain
      - verify_zero: housing
      - do: Unscrew the <housing>.
        open: housing
      - check: The seal of the <housing> has no cut.
        inspect_seal: housing
        otherwise: {end_here: Fetch a new seal. Leave the locks on.}
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "graph/end-unsafe",
    page=__doc__,
    never=True,
    of_proof=True,
    message="When the job stops here, the {part} is left open, charged or unsecured ({energies}).",
    help="Make it safe before stopping: close, or isolate, lock and relieve.",
)

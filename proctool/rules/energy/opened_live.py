"""Nothing is opened while a source still feeds it.

Why: A housing, cover or joint that is opened under pressure or voltage lets it out at the person who opens
it. Every way counts: danger runs both ways along a line, through check valves and what may be blocked.

Source: 29 CFR 1910.147(d)(3) and (d)(6): the isolating devices are operated, and isolation is verified,
before work starts.

Bad::

    steps:
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
    "energy/opened-live",
    page=__doc__,
    never=True,
    of_proof=True,
    message="The {part} is opened while {energies} still feeds it.",
    help="Isolate every source of it first; a check valve or a full cartridge is no isolator.",
)

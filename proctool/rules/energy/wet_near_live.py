"""A wet part is not opened while electricity beside it is live or still charged.

Why: However well a housing is drained, some water runs out when it is unscrewed. On the terminals of a pump
that is still plugged in it makes the floor, the frame and the technician part of the circuit.

Source: Common practice, no source. What stands near a part is said in the unit file (`near`).

Bad::

    steps:
      - isolate: inlet_valve
        lock: inlet_valve
      - vent: drain
      - verify_zero: housing
        otherwise: {end_here: Leave the locks on. Call for help.}
      - do: Unscrew the <housing>.
        open: housing

Good::

    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
      - vent: drain
      - verify_zero: housing
        otherwise: {end_here: Leave the locks on. Call for help.}
      - do: Unscrew the <housing>.
        open: housing
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/wet-near-live",
    page=__doc__,
    of_proof=True,
    message="A wet part is opened beside the {part}, whose {energies} is not dead.",
    help="Isolate the electricity of what stands near first.",
)

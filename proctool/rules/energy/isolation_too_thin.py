"""A part stands open behind the isolation that its energy asks for: single, double, double block and bleed.

Why: Any single valve may leak by. Where one leak could kill, two devices stand between the source and the
hands; double block and bleed also has a vent open between them, so that a leak shows there and not at the
part.

Source: Common practice, no source. How deep an energy must be isolated is said in the unit file
(`isolation`), by whoever knows the plant; 29 CFR 1910.147 asks for isolation but names no depth.

Bad::

    unit:
      energies:
        water: {isolation: double}
      parts:
        second_valve: {role: isolator, device: valve, name: second inlet valve, tag: V3, place: at the pump}
      lines:
        main: {path: [supply, inlet_valve, second_valve, pump, housing, tap]}
    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing

Good::

    unit:
      energies:
        water: {isolation: double}
      parts:
        second_valve: {role: isolator, device: valve, name: second inlet valve, tag: V3, place: at the pump}
      lines:
        main: {path: [supply, inlet_valve, second_valve, pump, housing, tap]}
    steps:
      - isolate: second_valve
        lock: second_valve
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/isolation-too-thin",
    page=__doc__,
    of_proof=True,
    message="The {part} stands open behind less isolation than {energies} asks for.",
    help="Isolate twice; for double block and bleed open the vent between the two.",
)

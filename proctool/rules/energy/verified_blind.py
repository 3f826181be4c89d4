"""What is looked at can show zero at the part: nothing between the two can close, stick or block.

Why: A gauge behind a clogged strainer reads zero while the housing is full. A vent that is shut, a tester in
front of a cover, a gauge of another energy show nothing at all; and a zero that is no reading is the most
dangerous one.

Source: 29 CFR 1910.147(d)(6): isolation is verified. That the instrument must be able to see the part is
common practice, no source.

Bad::

    unit:
      parts:
        strainer: {role: restriction, name: strainer}
        gauge: {at: pump}
      lines:
        main: {path: [supply, inlet_valve, pump, strainer, housing, tap]}
    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
      - vent: drain
      - verify_zero: {part: housing, by: gauge}
        otherwise: {end_here: Leave the locks on. Call for help.}

Good::

    unit:
      parts:
        strainer: {role: restriction, name: strainer}
        gauge: {at: housing}
      lines:
        main: {path: [supply, inlet_valve, pump, strainer, housing, tap]}
    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
      - vent: drain
      - verify_zero: {part: housing, by: gauge}
        otherwise: {end_here: Leave the locks on. Call for help.}
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/verified-blind",
    page=__doc__,
    of_proof=True,
    message="What is looked at cannot show zero of {energies} at the {part}.",
    help="Use a gauge or an open vent that nothing can block off from the part.",
)

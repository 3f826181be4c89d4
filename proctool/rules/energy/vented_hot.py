"""A vent on a line that also carries heat is opened only when what it lets out is cool, or is piped away.

Why: Pressure and heat leave in different ways. A vent lets the pressure out at once, but what comes out is as
hot as before and scalds the hand that opened it. Only time takes the heat away, or a pipe keeps it from
people.

Source: Common practice, no source. 29 CFR 1910.147(d)(5)(i) asks that stored energy be relieved or made safe;
its Appendix A names bleeding down as a method, not the heat of what is bled.

Bad::

    unit:
      energies:
        heat:
          form: heat
          normal: 80 °C
          safe: 40 °C
          warning: {word: warning, hazard: Hot water., harm: It can scald you., avoid: Let it cool first.}
      parts:
        housing: {leaves_in: {heat: 40 min}}
        thermometer: {role: gauge, name: thermometer, tag: T1, at: housing, energy: heat, span: 120 °C}
      lines:
        warm: {energy: heat, path: [housing, drain]}
    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
      - vent: drain

Good::

    unit:
      energies:
        heat:
          form: heat
          normal: 80 °C
          safe: 40 °C
          warning: {word: warning, hazard: Hot water., harm: It can scald you., avoid: Let it cool first.}
      parts:
        housing: {leaves_in: {heat: 40 min}}
        thermometer: {role: gauge, name: thermometer, tag: T1, at: housing, energy: heat, span: 120 °C}
      lines:
        warm: {energy: heat, path: [housing, drain]}
    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
      - wait: 40 min
        until: {gauge: thermometer, reads: 40 °C or less}
        discharge: housing
      - vent: drain
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/vented-hot",
    page=__doc__,
    message="The {part} is opened while {energies} is in what it lets out.",
    help="Let it cool first and end the wait by a reading, or pipe the vent away and say `piped: true`.",
)

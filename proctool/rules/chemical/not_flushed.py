"""What the technician brings in is out again at the end.

Why: A disinfectant or descaler that is left in the unit reaches whoever drinks, washes or works with what
comes out of it, and they do not know that it is there.

Source: Common practice, no source.

Bad::

    unit:
      energies:
        chlorine:
          form: chemical
          brought: true
          normal: 50 mg/L
          safe: 0 mg/L
          warning: {word: caution, hazard: Chlorine., harm: It irritates eyes and skin., avoid: Wear glasses.}
      lines:
        dosed: {energy: chlorine, path: [housing, tap]}
    steps:
      - do: Pump the disinfectant into the <housing>.
        dose: {part: housing, energy: chlorine}

Good::

    unit:
      energies:
        chlorine:
          form: chemical
          brought: true
          normal: 50 mg/L
          safe: 0 mg/L
          warning: {word: caution, hazard: Chlorine., harm: It irritates eyes and skin., avoid: Wear glasses.}
      lines:
        dosed: {energy: chlorine, path: [housing, tap]}
    steps:
      - do: Pump the disinfectant into the <housing>.
        dose: {part: housing, energy: chlorine}
      - do: Let water run through the <housing> for 10 min.
        flush: housing
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "chemical/not-flushed",
    page=__doc__,
    of_proof=True,
    message="At the end {energies} that was brought in is still in the {part}.",
    help="Flush it.",
)

"""Files, nesting, and what blocks and copies multiply to stay within limits.

Why: Copies in copies grow fast: four names of ten parts each are 10,000 steps. Nobody carries out such a
procedure, and reading it must not stop the machine of whoever opens it.

Source: Common practice, no source; the limits are proctool's own (a file 1 MiB, a procedure 5,000 steps, 60
levels).

Bad::

    steps:
      - each:
          a: [supply, inlet_valve, housing, drain, tap, gauge, socket, plug, pump, tester]
          b: [supply, inlet_valve, housing, drain, tap, gauge, socket, plug, pump, tester]
          c: [supply, inlet_valve, housing, drain, tap, gauge, socket, plug, pump, tester]
          d: [supply, inlet_valve, housing, drain, tap, gauge, socket, plug, pump, tester]
        steps:
          - do: Look at the <a>.

Good::

    steps:
      - each: {part: [housing, pump]}
        steps:
          - do: Look at the <part>.
"""

from proctool.rules.rule import Rule

RULE = Rule("file/limit", page=__doc__, never=True)

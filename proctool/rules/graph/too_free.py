"""Every order of the steps that the procedure allows was looked at.

Why: Steps without an order multiply: forty steps that may come in any order have more orders than could ever
be looked at. What was not looked at is not proven, so such a procedure is not passed.

Source: Common practice, no source: a proof says what it covers.

Bad::

    steps:
      - each:
          one: [housing, pump, drain, gauge, plug, inlet_valve]
          other: [housing, pump, drain, gauge, plug, inlet_valve]
        order: any
        steps:
          - do: Tell the crew how the <one> and the <other> are joined.
            makes: {crew: told}

Good::

    steps:
      - each:
          one: [housing, pump, drain, gauge, plug, inlet_valve]
          other: [housing, pump, drain, gauge, plug, inlet_valve]
        steps:
          - do: Tell the crew how the <one> and the <other> are joined.
            makes: {crew: told}
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "graph/too-free",
    page=__doc__,
    never=True,
    message="Too many orders to explore: nothing is proven. {part} costs most.",
    help="Give these steps an order, or split the procedure.",
)

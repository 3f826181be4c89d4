"""What a step needs holds there in every order.

Why: `needs` is what the technician relies on before a step and what the manual prints there. If one order
leaves it undone, the manual says something that is not so.

Source: 29 CFR 1910.147(d): each element of control follows the one before it; the words of `needs` are
proctool's own.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        needs: {drain: shut, housing: proven}
        open: housing

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        needs: {drain: open, housing: proven}
        open: housing
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "graph/need-unmet",
    page=__doc__,
    of_proof=True,
    message="What this step needs of the {part} does not hold in every order.",
    help="Do what brings it about before this step, or order the steps.",
)

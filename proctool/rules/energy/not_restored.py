"""At the end every isolator, vent and machine is as it was, or as the procedure says it is left.

Why: A vent that is left open floods the floor at the next start, a valve that is left closed starves the
pump; and whoever comes next takes the unit to be in normal service.

Source: Common practice, no source. 29 CFR 1910.147(e) orders the release from lockout, but not the position
of each device after it.

Bad::

    steps:
      - do: Stop the <pump> and set its timer.
        stop: pump

Good::

    steps:
      - do: Stop the <pump> and set its timer.
        stop: pump
      - start: pump
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/not-restored",
    page=__doc__,
    of_proof=True,
    message="At the end the {part} is not as it was, and not as `leaves` says.",
    help="Put it back to its normal state, or say in `leaves` how it is left.",
)

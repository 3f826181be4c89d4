"""At the end every cover is back on, or the procedure says that it stays off.

Why: A cover keeps fingers from live terminals. With the power back, a cover that was forgotten leaves them
bare for the next person, who was never told that there was work on the unit.

Source: 29 CFR 1910.147(e)(1): before energy is restored the machine's components are intact.

Bad::

    unit:
      parts:
        pump: {cover: true}
    steps:
      - stop: pump
      - isolate: plug
        lock: plug
      - do: Unscrew the cover of the <pump>.
        uncover: pump
      - do: Measure the winding of the <pump> with the <tester>.

Good::

    unit:
      parts:
        pump: {cover: true}
    steps:
      - stop: pump
      - isolate: plug
        lock: plug
      - do: Unscrew the cover of the <pump>.
        uncover: pump
      - do: Measure the winding of the <pump> with the <tester>.
      - do: Screw the cover of the <pump> on.
        cover: pump
"""

from proctool.rules.rule import Rule

RULE = Rule(
    "energy/left-uncovered",
    page=__doc__,
    of_proof=True,
    message="At the end the cover of the {part} is still off.",
    help="Put it on, or say in `leaves` that it stays off.",
)

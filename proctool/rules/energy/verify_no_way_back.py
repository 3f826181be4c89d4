"""Zero is verified by a check that can fail, and the procedure says what is done then.

Why: A reading is taken because one day it is not zero: a valve leaks by, a gauge sticks. A procedure that
knows only the good answer leaves the technician before the bad one with a wrench in hand and no word.

Source: 29 CFR 1910.147(d)(6): isolation is verified before work starts. That the procedure says what to do
when it cannot be is common practice, no source.

Bad::

    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
      - vent: drain
      - do: See that the <gauge> reads 0 bar.
        verify_zero: {part: housing, by: gauge}

Good::

    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
      - vent: drain
      - check: The <gauge> reads 0 bar.
        verify_zero: {part: housing, by: gauge}
        otherwise: {end_here: Leave the locks on. The inlet valve leaks. Call for help.}
"""

from collections.abc import Iterable

from proctool.model.plan import EndHere, Step, every_step
from proctool.rules.rule import PlanSubject, Rule, Seen


def check(subject: PlanSubject) -> Iterable[Seen]:
    """Every step that verifies zero and cannot fail, or says nothing of what follows then."""
    for step in every_step(subject.plan.frame):
        message = _wrong(step)
        for act in step.acts:
            if act.verb == "verify_zero" and message is not None:
                part = subject.plan.unit.parts[act.part]
                yield Seen(
                    step.span,
                    f"Zero is verified at the {part.label}, but {message}.",
                    "Make it a `check` with an `otherwise`: what is left locked, and whom to call.",
                    step.id,
                    part.id,
                    (act.energy,) if act.energy else (),
                )


def _wrong(step: Step) -> str | None:
    otherwise = step.otherwise
    if otherwise is None:
        return "this step cannot fail"
    unsaid = isinstance(otherwise.ending, EndHere) and not otherwise.ending.text.strip()
    return "nothing says what to do when it is not zero" if unsaid and not otherwise.frame.steps else None


RULE = Rule("energy/verify-no-way-back", page=__doc__, plan=check)

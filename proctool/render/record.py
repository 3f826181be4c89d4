"""The record sheet: what a procedure asks to be written down, on one sheet to fill in by hand."""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.plan import Plan, Step, StepKind, every_step
from proctool.model.quantity import show_text
from proctool.render import readings, zeros
from proctool.render.item import Blank
from proctool.render.layout import lay_out
from proctool.render.manual import Entry, Record
from proctool.render.readings import Shows
from proctool.render.speech import say


def record(plan: Plan, shows: Shows) -> Record:
    """What the main steps of this procedure measure, check for leaks and hold, and what is fitted."""
    numbered = tuple(_numbered(plan))
    facts = plan.facts
    return Record(
        readings=tuple(e for number, step in numbered for e in _readings(number, step, plan, shows)),
        leaks=tuple(
            Entry(number, step.text, show_text(step.lasts or "", shows), (Blank(say("No leak")),))
            for number, step in numbered
            if any(act.verb == "leak_check" for act in step.acts)
        ),
        holds=tuple(
            Entry(number, step.hold, "", (Blank(say("Signed")), Blank(say("Time"))))
            for number, step in numbered
            if step.hold
        ),
        fitted=facts.supplies if facts else (),
        failures=any(step.may_fail for step in every_step(plan.frame)),
        people=(facts.people if facts else ()) or (say("Done by"),),
    )


def _numbered(plan: Plan) -> Iterator[tuple[str, Step]]:
    for number, slot in enumerate(lay_out(plan.frame, plan.unit.parts).slots, start=1):
        yield str(number), plan.frame.steps[slot.place]


def _readings(number: str, step: Step, plan: Plan, shows: Shows) -> Iterator[Entry]:
    """The reading of a `read`, that which ends a wait, and what each device that shows zero showed."""
    parts = plan.unit.parts
    gauge = parts.get(step.gauge or "")
    if step.kind is StepKind.READ or (step.kind is StepKind.WAIT and gauge is not None):
        within = readings.limits(step, parts)
        blanks = readings.blanks(step, parts, shows)[-1:]  # the last is the reading
        yield Entry(number, gauge.label if gauge else step.text, show_text(within, shows), blanks)
    yield from zeros.entries(number, step, plan.unit, shows)

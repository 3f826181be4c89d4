"""The record sheet: what a procedure asks to be written down, on one sheet to fill in by hand."""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.plan import Plan, Step, StepKind, every_step
from proctool.model.quantity import show_text
from proctool.model.unit import Part
from proctool.model.words import Role
from proctool.render import readings
from proctool.render.layout import lay_out
from proctool.render.manual import Blank, Entry, Record
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
    """The reading of a `read`, that which ends a wait, and each gauge that shows zero."""
    parts = plan.unit.parts
    gauge = parts.get(step.gauge or "")
    if step.kind is StepKind.READ or (step.kind is StepKind.WAIT and gauge is not None):
        within = readings.limits(step, parts)
        blanks = readings.blanks(step, parts, shows)[-1:]  # the last is the reading
        yield Entry(number, gauge.label if gauge else step.text, show_text(within, shows), blanks)
    for act in step.acts:
        shown_by = parts.get(act.by or "")
        if act.verb == "verify_zero" and shown_by is not None and act.part in parts:
            yield _zero(number, shown_by, parts[act.part], plan, shows)


def _zero(number: str, by: Part, part: Part, plan: Plan, shows: Shows) -> Entry:
    energy = plan.unit.energies.get(by.energy or "")
    what = say("{gauge} for the {part}", gauge=by.label, part=part.label)
    if by.role is Role.VENT or energy is None:
        return Entry(number, what, say("no more flow"), (Blank(say("Seen")),))
    if by.text("span") is None:  # a lamp shows zero without a number
        return Entry(number, what, say("no {energy}", energy=energy.name), (Blank(say("Seen")),))
    blank = readings.reading(readings.zero(energy.safe), shows)
    return Entry(number, what, show_text(energy.safe, shows) or say("zero"), (blank,))

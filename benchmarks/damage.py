"""Every single damage to a resolved procedure: what a careless writer, or a slip of the mouse, does to it.

Each list of a plan is damaged, those of every `otherwise` and `then` included:

- `drop`: a step left out;
- `swap`: two steps that come one right after the other, the other way round;
- `unorder`: the order between two such steps left out, all else kept;
- `lose-act`: one act left out of a step, its text kept;
- `wrong-gauge`: zero verified by another gauge or vent of the unit;
- `wrong-isolator`: an act on an isolator done to another isolator of the unit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from proctool.draft.slips.changes import early, skipped
from proctool.model.plan import Act, BackTo, Frame, Otherwise, Plan, Step
from proctool.model.unit import Unit
from proctool.model.words import Role
from proctool.network.reach import bits

ISOLATOR_ACTS = frozenset({"isolate", "throttle", "connect", "restore", "lock", "unlock"})
KINDS = ("drop", "swap", "unorder", "lose-act", "wrong-gauge", "wrong-isolator")


@dataclass(frozen=True, slots=True)
class Damage:
    """One damage, and the plan with it."""

    kind: str
    step: str
    """The step that is damaged; of two swapped or unordered ones the later."""
    what: str
    """The other step; the act; what it is changed to. Empty for a dropped step."""
    plan: Plan

    def __str__(self) -> str:
        return f"{self.kind} {self.step}{f' ({self.what})' if self.what else ''}"


def damages(plan: Plan) -> Iterator[Damage]:
    """Every damaged plan, in file order and by kind."""
    for frame, whole in _lists(plan.frame, lambda main: main):
        for kind, step, what, changed in _of_list(frame, plan.unit):
            yield Damage(kind, step, what, replace(plan, frame=whole(changed)))


Whole = Callable[[Frame], Frame]
"""From a changed list to the main list with it in its place."""


def _lists(frame: Frame, whole: Whole) -> Iterator[tuple[Frame, Whole]]:
    yield frame, whole
    for place, step in enumerate(frame.steps):
        if step.otherwise is not None:

            def put(otherwise: Otherwise, step: Step = step, place: int = place) -> Frame:
                return whole(_with(frame, place, replace(step, otherwise=otherwise)))

            yield from _inside(step.otherwise, put)


def _inside(otherwise: Otherwise, put: Callable[[Otherwise], Frame]) -> Iterator[tuple[Frame, Whole]]:
    yield from _lists(otherwise.frame, lambda inner: put(replace(otherwise, frame=inner)))
    ending = otherwise.ending
    if isinstance(ending, BackTo) and ending.then is not None:
        back = ending
        yield from _inside(ending.then, lambda then: put(replace(otherwise, ending=replace(back, then=then))))


def _with(frame: Frame, place: int, step: Step) -> Frame:
    return replace(frame, steps=(*frame.steps[:place], step, *frame.steps[place + 1 :]))


Changed = tuple[str, str, str, Frame]
"""Kind, step, what, the changed list."""


def _of_list(frame: Frame, unit: Unit) -> Iterator[Changed]:
    steps = frame.steps
    for place, step in enumerate(steps):
        yield "drop", step.id, "", skipped(frame, place)
        for other in _just_before(frame, place):
            yield "swap", step.id, steps[other].id, early(frame, place, other)
            before = list(frame.before)
            before[place] &= ~(1 << other)
            yield "unorder", step.id, steps[other].id, replace(frame, before=tuple(before))
        for kind, what, acts in _of_acts(step.acts, unit):
            yield kind, step.id, what, _with(frame, place, replace(step, acts=acts))


def _just_before(frame: Frame, place: int) -> Iterator[int]:
    """The steps that come right before one: with none between."""
    earlier = frame.before[place]
    between = 0
    for other in bits(earlier):
        between |= frame.before[other]
    yield from bits(earlier & ~between)


def _of_acts(acts: tuple[Act, ...], unit: Unit) -> Iterator[tuple[str, str, tuple[Act, ...]]]:
    for i, act in enumerate(acts):
        said = f"{act.verb} {act.part}".strip()
        yield "lose-act", said, acts[:i] + acts[i + 1 :]
        for kind, what, other in _other(act, unit):
            yield kind, f"{said}: {what}", (*acts[:i], other, *acts[i + 1 :])


def _other(act: Act, unit: Unit) -> Iterator[tuple[str, str, Act]]:
    for part in unit.parts.values():
        if act.verb == "verify_zero" and part.role in {Role.GAUGE, Role.VENT} and part.id != act.by:
            yield "wrong-gauge", f"by {part.id}", replace(act, by=part.id)
        if act.verb in ISOLATOR_ACTS and part.role is Role.ISOLATOR and part.id != act.part:
            yield "wrong-isolator", part.id, replace(act, part=part.id)

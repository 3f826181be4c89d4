"""Frames: expanded, ordered, and each check joined to what happens when it fails."""

from __future__ import annotations

from dataclasses import dataclass
from functools import reduce
from operator import or_

from proctool.model.document import Scalar
from proctool.model.plan import (
    BackTo,
    Continue,
    EndHere,
    Frame,
    FreeGroup,
    Otherwise,
    Step,
)
from proctool.model.procedure import Entry, WrittenOtherwise
from proctool.network.reach import bits
from proctool.resolve.draft import Around, Draft, DraftFrame, StepList
from proctool.resolve.expand import Expansion, Place
from proctool.resolve.ids import Paths
from proctool.resolve.order import OrderError, before_masks
from proctool.resolve.scope import Job, Scope
from proctool.resolve.texts import fill


@dataclass(frozen=True, slots=True)
class _Failing:
    """A check that has failed: its frame so far, its place in it, and the frames around that."""

    before: tuple[int, ...]
    place: int
    written_in: StepList
    around: _Failing | None
    ids: tuple[str, ...]


def build_frame(
    job: Job,
    entries: tuple[Entry, ...],
    scope: Scope,
    path: tuple[str, ...],
    paths: Paths,
    around: _Failing | None = None,
) -> Frame:
    """The frame of a list of entries, its `otherwise` frames included."""
    expansion = Expansion(job, paths)
    top = expansion.entries(entries, Place(scope, path))
    drafts = expansion.frame
    try:
        before = before_masks(top, len(drafts.steps))
    except OrderError as error:
        shown = " → ".join(drafts.steps[i].id for i in (*error.steps, error.steps[0]))
        span = drafts.steps[error.steps[0]].span
        job.fault("graph/cycle", f"Each of these steps waits for the next: {shown}. Cut one `after`.", span)
        before = tuple((1 << place) - 1 for place in range(len(drafts.steps)))
    for said in drafts.around:
        _lay_around(job, drafts, before, said)
    ids = tuple(draft.id for draft in drafts.steps)
    steps = tuple(
        _finish(
            draft,
            _when_failing(job, draft, paths, _Failing(before, place, draft.place, around, ids)),
        )
        for place, draft in enumerate(drafts.steps)
    )
    free = tuple(FreeGroup(name, span, group.mask) for name, span, group in drafts.free)
    return Frame(steps, before, free)


def _lay_around(job: Job, drafts: DraftFrame, before: tuple[int, ...], said: Around) -> None:
    """Needs and warnings of a group go before its first steps, what it makes true after its last."""
    for i in bits(said.mask):
        if not before[i] & said.mask:
            drafts.steps[i].needs += said.needs
            drafts.steps[i].dangers += said.dangers
            drafts.steps[i].notes = said.notes + drafts.steps[i].notes
    followed = reduce(or_, (before[i] for i in bits(said.mask)), 0)
    last = list(bits(said.mask & ~followed))
    if said.makes and len(last) > 1:
        job.fault("graph/act-unfit", "This group has no one last step: put `makes` on a step.", said.span)
    elif said.makes and last:
        drafts.steps[last[0]].makes += said.makes


def _finish(draft: Draft, otherwise: Otherwise | None) -> Step:
    return Step(
        id=draft.id,
        kind=draft.kind,
        text=draft.text,
        span=draft.span,
        acts=draft.acts,
        needs=draft.needs,
        makes=draft.makes,
        otherwise=otherwise,
        once=draft.once,
        dangers=tuple(dict.fromkeys(draft.dangers)),
        notes=draft.notes,
        figure=draft.figure,
        hold=draft.hold,
        lasts=draft.lasts,
        limits=draft.limits,
        gauge=draft.gauge,
        heading=draft.heading,
        filled=draft.filled,
        using=draft.using,
    )


def _when_failing(job: Job, draft: Draft, paths: Paths, failing: _Failing) -> Otherwise | None:
    if not draft.may_fail:
        return None
    if draft.duty is None:
        return Otherwise(Frame((), ()), EndHere(""))
    duty = draft.duty
    failing = _Failing(failing.before, failing.place, duty.place, failing.around, failing.ids)
    return _otherwise(job, duty.written, duty.scope, (*draft.id.split("/"), "otherwise"), paths, failing)


def _otherwise(
    job: Job,
    written: WrittenOtherwise,
    scope: Scope,
    path: tuple[str, ...],
    paths: Paths,
    failing: _Failing,
) -> Otherwise:
    with job.inside(written.span):
        frame = build_frame(job, written.entries, scope, path, paths, failing)
    if written.end_here is not None:
        return Otherwise(frame, EndHere(fill(job, scope, written.end_here), written.end_here.span))
    if written.back_to is None:
        return Otherwise(frame, Continue())
    then_path = (*path[:-1], "then") if path[-1] == "otherwise" else (*path, "then")
    then = _otherwise(job, written.then, scope, then_path, paths, failing) if written.then else None
    back = _back_to(job, written.back_to, failing)
    if back is None:
        return Otherwise(frame, EndHere(""))
    levels, undone = back
    target = written.back_to
    return Otherwise(frame, BackTo(target.text, levels, undone, written.at_most, then, target.span))


def _back_to(job: Job, target: Scalar, failing: _Failing) -> tuple[int, int] | None:
    """How many frames up a target lies, and which steps of that frame are undone; None with a finding."""
    levels, here = 0, failing
    names: dict[str, None] = {}
    while True:
        place: StepList | None = here.written_in
        while place is not None:
            mask = place.steps_of(target.text)
            if mask is not None:
                return _undone(job, target, here, levels, mask)
            names |= dict.fromkeys((*place.named, *place.copies))
            place = place.around
        if here.around is None:
            job.unknown(target, "id in this list of steps or one around it", names)
            return None
        levels, here = levels + 1, here.around


def _undone(job: Job, target: Scalar, here: _Failing, levels: int, mask: int) -> tuple[int, int] | None:
    itself = 1 << here.place
    if not mask:
        message = f"`{target.text}` has no steps on this unit: nothing to go back to."
    elif not mask & itself and mask & ~here.before[here.place]:
        message = (
            f"`{target.text}` does not come before `{here.ids[here.place]}` in every order: "
            "go back to the check itself, a group around it, or what always comes before it."
        )
    else:
        undone = mask
        for i, earlier in enumerate(here.before):
            if earlier & mask:
                undone |= 1 << i
        return levels, undone
    job.fault("graph/unknown-name", message, target.span)
    return None

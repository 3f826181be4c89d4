"""Blocks, copies and groups to flat steps with path ids; the order inside each list is kept for later."""

from __future__ import annotations

from dataclasses import dataclass, replace

from proctool.model.plan import StepKind
from proctool.model.procedure import Entry, EntryKind
from proctool.model.words import CHECK_ACTS, ONCE_ACTS
from proctool.resolve import details
from proctool.resolve.acts import plain_acts
from proctool.resolve.amounts import entry_amounts
from proctool.resolve.draft import Around, Child, Draft, DraftFrame, Duty, StepList
from proctool.resolve.fitting import applies
from proctool.resolve.ids import Paths, entry_id
from proctool.resolve.inherit import LEFT_OUT
from proctool.resolve.scope import Job, Scope
from proctool.resolve.sets import copies, given
from proctool.resolve.texts import fill, step_text


@dataclass(frozen=True, slots=True)
class Place:
    """Where entries stand: what names mean there, the path of ids, and what groups around them say."""

    scope: Scope
    path: tuple[str, ...] = ()
    steps: StepList | None = None
    """The list around, in the same frame."""
    duty: Duty | None = None
    """The `otherwise` of a group around, for checks that have none."""
    heading: tuple[str, ...] = ()
    using: tuple[str, ...] = ()
    """Tools and supplies of the groups around."""


class Expansion:
    """Fills one frame. `paths` are the ids in use in the whole plan."""

    def __init__(self, job: Job, paths: Paths) -> None:
        self.job, self.paths = job, paths
        self.frame = DraftFrame()

    def entries(self, entries: tuple[Entry, ...], place: Place, *, free: bool = False) -> StepList:
        """Expand one list of entries; `free` where they have no order among themselves."""
        steps = StepList(place.steps)
        with self.job.inside(entries[0].span if entries else self.job.procedure.span) as goes_on:
            if goes_on:
                self._fill(steps, entries, replace(place, steps=steps), free=free)
        return steps

    def _fill(self, steps: StepList, entries: tuple[Entry, ...], place: Place, *, free: bool) -> None:
        for entry in entries:
            if not self.job.goes_on(entry.span, entries=1):
                return
            if not applies(self.job, place.scope, entry.when):
                steps.children.append(Child(entry.span))
                if entry.id is not None:
                    steps.named.setdefault(entry.id.text, []).append(len(steps.children) - 1)
                continue
            name = entry_id(entry, lambda name: self.job.find(place.scope, name) is not None)
            child = self._entry(entry, name, place, steps)
            steps.children.append(child)
            if name:
                steps.named.setdefault(name, []).append(len(steps.children) - 1)
        self._order(entries, steps, free)

    def _order(self, entries: tuple[Entry, ...], steps: StepList, free: bool) -> None:
        """Which entries of a list come before which: all above, unless `after` says otherwise."""
        for place, entry in enumerate(entries):
            child = steps.children[place]
            if entry.after is None:
                child.before = 0 if free else (1 << place) - 1
                continue
            for name in entry.after:
                if name.text in steps.named:
                    child.before |= sum(1 << other for other in steps.named[name.text])
                elif name.text in steps.copies:
                    child.before_copies.append(steps.copies[name.text])
                else:
                    self.job.unknown(name, "id in this list of steps", (*steps.named, *steps.copies))

    def _entry(self, entry: Entry, name: str, place: Place, steps: StepList) -> Child:
        if entry.otherwise is not None:
            place = replace(place, duty=Duty(entry.otherwise, place.scope, steps))
        if entry.using:
            place = replace(place, using=(*place.using, *details.use(self.job, entry)))
        if entry.kind not in {EntryKind.USE, EntryKind.EACH, EntryKind.ANY_ORDER, EntryKind.GROUP}:
            return self._step(entry, name, place, steps)
        first = len(self.frame.steps)
        inner_path = self.paths.add(self.job, place.path, name, entry) if name else place.path
        inner = self._group(entry, replace(place, path=inner_path), steps)
        mask = inner.mask if inner is not None else 0
        self._say_of_group(entry, place.scope, mask, first)
        return Child(entry.span, name, mask, inner)

    def _group(self, entry: Entry, place: Place, steps: StepList) -> StepList | None:
        if entry.kind is EntryKind.USE:
            return self._block(entry, place)
        if entry.title is not None:
            place = replace(place, heading=(*place.heading, fill(self.job, place.scope, entry.title)))
        if entry.kind is EntryKind.EACH:
            return self._copies(entry, place, steps)
        free = entry.kind is EntryKind.ANY_ORDER
        inner = self.entries(entry.entries, place, free=free)
        if free:
            self.frame.free.append(("/".join(place.path), entry.span, inner))
        return inner

    def _copies(self, entry: Entry, place: Place, steps: StepList) -> StepList:
        each = StepList(steps)
        for binding in copies(self.job, place.scope, entry):
            if self.job.full:
                break
            value = "-".join(part for parts in binding.values() for part in parts)
            path = self.paths.add(self.job, place.path, value, entry)
            one = replace(place, scope=place.scope.bound(binding), path=path, steps=each)
            inner = self.entries(entry.entries, one)
            number = len(each.children)
            before = 0 if entry.any_order else (1 << number) - 1
            each.children.append(Child(entry.span, value, inner.mask, inner, before))
            each.named[value] = [number]
            if entry.id is None:
                steps.copies[value] = (len(steps.children), inner.mask)
        if entry.any_order:
            self.frame.free.append(("/".join(place.path) or "each", entry.span, each))
        return each

    def _block(self, entry: Entry, place: Place) -> StepList | None:
        job, name, scope = self.job, entry.block, place.scope
        if name is None:
            return None
        if name.text not in job.blocks:
            job.unknown(name, "block of this library", job.blocks, help=LEFT_OUT)
            return None
        if name.text in scope.blocks:
            shown_chain = " → ".join((*scope.blocks[scope.blocks.index(name.text) :], name.text))
            job.fault("file/cycle", f"Blocks need each other: {shown_chain}.", name.span)
            return None
        block = job.blocks[name.text]
        inner = Scope(
            given(job, scope, entry, block, name),
            conditions=frozenset(key.text for key, _ in job.library.conditions),
            blocks=(*scope.blocks, name.text),
        )
        heading = (*place.heading, block.title) if block.title else place.heading
        return self.entries(block.entries, replace(place, scope=inner, heading=heading))

    def _say_of_group(self, entry: Entry, scope: Scope, mask: int, first: int) -> None:
        job = self.job
        for draft in self.frame.steps[first:]:
            draft.once = draft.once or entry.once
            self._may_be_once(draft)
        around = Around(
            mask,
            entry.span,
            details.needs(job, scope, entry),
            details.makes(job, scope, entry),
            details.dangers(job, entry),
            details.notes(job, scope, entry),
        )
        if around.needs or around.makes or around.dangers or around.notes:
            self.frame.around.append(around)

    def _step(self, entry: Entry, name: str, place: Place, steps: StepList) -> Child:
        job, scope = self.job, place.scope
        acts = plain_acts(job, scope, entry.acts)
        job.findings += entry_amounts(entry)
        gauge = details.gauge_of(job, scope, entry)
        if entry.kind is EntryKind.ACTS and not acts:
            return Child(entry.span)  # its parts are a set that is empty on this unit
        kind = _kind(entry)
        limits = (
            entry.within.text if entry.within else gauge.usual if gauge and kind is StepKind.READ else None
        )
        may_fail = kind is StepKind.CHECK or (kind is StepKind.READ and limits is not None)
        if entry.otherwise is not None and not may_fail and kind is not StepKind.READ:
            message = "This step never fails, so its `otherwise` is never used."
            help_ = "Only a `check`, and a `read` with limits, may fail."
            job.fault("graph/act-unfit", message, entry.otherwise.span, help=help_)
        draft = Draft(
            id="/".join(self.paths.add(job, place.path, name, entry)),
            kind=kind,
            text="",
            span=entry.span,
            place=steps,
            scope=scope,
            acts=acts,
            needs=details.needs(job, scope, entry),
            makes=details.makes(job, scope, entry),
            duty=place.duty,
            may_fail=may_fail,
            once=entry.once,
            dangers=details.dangers(job, entry),
            notes=details.notes(job, scope, entry),
            figure=details.figure(job, scope, entry),
            hold=entry.hold.text if entry.hold else None,
            lasts=entry.lasts.text if entry.lasts else None,
            limits=limits,
            gauge=gauge.id if gauge else None,
            heading=place.heading,
            using=place.using,
        )
        if not _one_check_each(entry, draft):
            draft.text, draft.filled = step_text(job, scope, entry, draft)
            return Child(entry.span, name, self._add(draft))
        inner = StepList(steps)
        for number, act in enumerate(acts):
            energy = act.energy or ""
            makes = draft.makes if act is acts[-1] else ()
            one = replace(draft, id=f"{draft.id}/{energy}", acts=(act,), makes=makes, place=inner)
            one.text, one.filled = step_text(job, scope, entry, one)
            inner.children.append(Child(entry.span, energy, self._add(one), before=(1 << number) - 1))
            inner.named[energy] = [number]
        return Child(entry.span, name, inner.mask, inner)

    def _add(self, draft: Draft) -> int:
        self._may_be_once(draft)
        if not self.job.goes_on(draft.span, steps=1):
            return 0
        self.frame.steps.append(draft)
        return 1 << (len(self.frame.steps) - 1)

    def _may_be_once(self, draft: Draft) -> None:
        unfit = [act.verb for act in draft.acts if act.verb not in ONCE_ACTS]
        if draft.once and unfit:
            self.job.fault(
                "graph/act-unfit",
                f"`once` does not go with `{unfit[0]}`: going back must do it again. "
                f"Only {', '.join(sorted(ONCE_ACTS))} may be once.",
                draft.span,
            )
            draft.once = False


def _kind(entry: Entry) -> StepKind:
    """A step whose acts are all of verifying or leak checking and that has no text is a check."""
    if entry.kind is EntryKind.ACTS:
        checks = entry.acts and all(act.verb.text in CHECK_ACTS for act in entry.acts)
        return StepKind.CHECK if checks else StepKind.DO
    return StepKind(entry.kind.value)


def _one_check_each(entry: Entry, draft: Draft) -> bool:
    """Whether a step is `verify_zero` of one part and nothing else: then each energy is its own check."""
    alone = entry.text is None and len(entry.acts) == 1 and len({act.part for act in draft.acts}) == 1
    return alone and len(draft.acts) > 1 and draft.acts[0].verb == "verify_zero"

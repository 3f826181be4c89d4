"""Blocks, copies and groups to flat steps with path ids; the order inside each list is kept for later."""

from __future__ import annotations

from dataclasses import replace

from proctool.model.plan import StepKind
from proctool.model.procedure import Entry, EntryKind
from proctool.model.words import CHECK_ACTS, ONCE_ACTS
from proctool.resolve import details
from proctool.resolve.acts import plain_acts
from proctool.resolve.amounts import entry_amounts
from proctool.resolve.draft import Around, Child, Draft, DraftFrame, Duty, StepList
from proctool.resolve.fitting import applies
from proctool.resolve.ids import entry_id
from proctool.resolve.scope import Job, Scope
from proctool.resolve.sets import copies, members
from proctool.resolve.texts import fill, sentences, shown


class Expansion:
    """Fills one frame. `paths` are the ids in use in the whole plan."""

    def __init__(self, job: Job, paths: set[str]) -> None:
        self.job, self.paths = job, paths
        self.frame = DraftFrame()

    def entries(
        self,
        entries: tuple[Entry, ...],
        scope: Scope,
        path: tuple[str, ...],
        *,
        around: StepList | None = None,
        free: bool = False,
        duty: Duty | None = None,
        heading: tuple[str, ...] = (),
    ) -> StepList:
        """Expand one list of entries; `free` where they have no order among themselves."""
        steps = StepList(around)
        for entry in entries:
            if not applies(self.job, scope, entry.when):
                steps.children.append(Child(entry.span))
                if entry.id is not None:
                    steps.named.setdefault(entry.id.text, []).append(len(steps.children) - 1)
                continue
            name = entry_id(entry, lambda name: self.job.find(scope, name) is not None)
            child = self._entry(entry, name, scope, path, steps, duty, heading)
            steps.children.append(child)
            if name:
                steps.named.setdefault(name, []).append(len(steps.children) - 1)
        self._order(entries, steps, free)
        return steps

    def _order(self, entries: tuple[Entry, ...], steps: StepList, free: bool) -> None:
        """Which entries of a list come before which: all above, unless `after` says otherwise."""
        for place, entry in enumerate(entries):
            child = steps.children[place]
            if entry.after is None:
                child.before = set() if free else set(range(place))
                continue
            for name in entry.after:
                if name.text in steps.named:
                    child.before |= set(steps.named[name.text])
                elif name.text in steps.copies:
                    child.before_copies.append(steps.copies[name.text])
                else:
                    self.job.unknown(name, "id in this list of steps", (*steps.named, *steps.copies))

    def _entry(
        self,
        entry: Entry,
        name: str,
        scope: Scope,
        path: tuple[str, ...],
        steps: StepList,
        duty: Duty | None,
        heading: tuple[str, ...],
    ) -> Child:
        if entry.kind in {EntryKind.USE, EntryKind.EACH, EntryKind.ANY_ORDER, EntryKind.GROUP}:
            first = len(self.frame.steps)
            inner_path = self._path(path, name, entry) if name else path
            if entry.otherwise is not None:
                duty = Duty(entry.otherwise, scope, steps)
            inner = self._group(entry, scope, inner_path, steps, duty, heading)
            mask = inner.mask if inner is not None else 0
            self._say_of_group(entry, scope, mask, first)
            return Child(entry.span, name, mask, inner)
        if entry.otherwise is not None:
            duty = Duty(entry.otherwise, scope, steps)
        return self._step(entry, name, scope, path, steps, duty, heading)

    def _group(
        self,
        entry: Entry,
        scope: Scope,
        path: tuple[str, ...],
        steps: StepList,
        duty: Duty | None,
        heading: tuple[str, ...],
    ) -> StepList | None:
        title = (*heading, fill(self.job, scope, entry.title)) if entry.title is not None else heading
        if entry.kind is EntryKind.USE:
            return self._block(entry, scope, path, steps, duty, heading)
        if entry.kind is EntryKind.EACH:
            return self._copies(entry, scope, path, steps, duty, title)
        free = entry.kind is EntryKind.ANY_ORDER
        inner = self.entries(entry.entries, scope, path, around=steps, free=free, duty=duty, heading=title)
        if free:
            self.frame.free.append(("/".join(path), entry.span, inner))
        return inner

    def _copies(
        self,
        entry: Entry,
        scope: Scope,
        path: tuple[str, ...],
        steps: StepList,
        duty: Duty | None,
        heading: tuple[str, ...],
    ) -> StepList:
        each = StepList(steps)
        for binding in copies(self.job, scope, entry):
            value = "-".join(part for parts in binding.values() for part in parts)
            inner_path = self._path(path, value, entry)
            inner = self.entries(
                entry.entries, scope.bound(binding), inner_path, around=each, duty=duty, heading=heading
            )
            place = len(each.children)
            before = set() if entry.any_order else set(range(place))
            each.children.append(Child(entry.span, value, inner.mask, inner, before))
            each.named[value] = [place]
            if entry.id is None:
                steps.copies[value] = (len(steps.children), inner.mask)
        if entry.any_order:
            self.frame.free.append(("/".join(path) or "each", entry.span, each))
        return each

    def _block(
        self,
        entry: Entry,
        scope: Scope,
        path: tuple[str, ...],
        steps: StepList,
        duty: Duty | None,
        heading: tuple[str, ...],
    ) -> StepList | None:
        job, name = self.job, entry.block
        if name is None:
            return None
        if name.text not in job.blocks:
            job.unknown(name, "block of this library", job.blocks)
            return None
        if name.text in scope.blocks:
            shown_chain = " → ".join((*scope.blocks[scope.blocks.index(name.text) :], name.text))
            job.fault("file/cycle", f"Blocks need each other: {shown_chain}.", name.span)
            return None
        block = job.blocks[name.text]
        values = {}
        given = {key.text: (key, value) for key, value in entry.given.entries} if entry.given else {}
        for key, _ in given.values():
            if key.text not in {take.text for take in block.takes}:
                job.unknown(key, f"name that block `{block.name}` takes", [t.text for t in block.takes])
        for take in block.takes:
            if not job.bind(Scope(), take):
                continue
            if take.text in given:
                values[take.text] = members(job, scope, given[take.text][1])
            elif take.text == "opens":
                values["opens"] = job.opens
            else:
                job.fault(
                    "graph/unknown-name",
                    f"Block `{block.name}` takes `{take.text}`: give it with `with: {{{take.text}: …}}`.",
                    name.span,
                )
                values[take.text] = ()
        inner = Scope(
            values,
            conditions=frozenset(key.text for key, _ in job.library.conditions),
            blocks=(*scope.blocks, name.text),
        )
        title = (*heading, block.title) if block.title else heading
        return self.entries(block.entries, inner, path, around=steps, duty=duty, heading=title)

    def _say_of_group(self, entry: Entry, scope: Scope, mask: int, first: int) -> None:
        job = self.job
        details.use(job, entry)
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

    def _step(
        self,
        entry: Entry,
        name: str,
        scope: Scope,
        path: tuple[str, ...],
        steps: StepList,
        duty: Duty | None,
        heading: tuple[str, ...],
    ) -> Child:
        job = self.job
        acts = plain_acts(job, scope, entry.acts)
        job.findings += entry_amounts(entry)
        details.use(job, entry)
        gauge = details.gauge_of(job, scope, entry)
        kind = _kind(entry)
        limits = (
            entry.within.text if entry.within else gauge.usual if gauge and kind is StepKind.READ else None
        )
        draft = Draft(
            id="/".join(self._path(path, name, entry)),
            kind=kind,
            text="",
            span=entry.span,
            place=steps,
            scope=scope,
            acts=acts,
            needs=details.needs(job, scope, entry),
            makes=details.makes(job, scope, entry),
            duty=duty,
            may_fail=kind is StepKind.CHECK or (kind is StepKind.READ and limits is not None),
            once=entry.once,
            dangers=details.dangers(job, entry),
            notes=details.notes(job, scope, entry),
            figure=details.figure(job, scope, entry),
            hold=entry.hold.text if entry.hold else None,
            lasts=entry.lasts.text if entry.lasts else None,
            limits=limits,
            gauge=gauge.id if gauge else None,
            heading=heading,
        )
        if not _one_check_each(entry, draft):
            draft.text = self._text(entry, scope, draft)
            return Child(entry.span, name, self._add(draft))
        inner = StepList(steps)
        for place, act in enumerate(acts):
            energy = act.energy or ""
            one = replace(draft, id=f"{draft.id}/{energy}", acts=(act,), place=inner)
            one.text = self._text(entry, scope, one)
            inner.children.append(Child(entry.span, energy, self._add(one), before=set(range(place))))
            inner.named[energy] = [place]
        return Child(entry.span, name, inner.mask, inner)

    def _add(self, draft: Draft) -> int:
        job = self.job
        self._may_be_once(draft)
        if job.steps_left <= 0:
            if job.steps_left == 0:
                job.fault(
                    "file/limit", "More than 5,000 steps come of this procedure on one unit.", draft.span
                )
            job.steps_left -= 1
            return 0
        job.steps_left -= 1
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

    def _text(self, entry: Entry, scope: Scope, draft: Draft) -> str:
        job = self.job
        if entry.text is not None:
            return fill(job, scope, entry.text)
        gauge = job.unit.parts.get(draft.gauge or "")
        if entry.kind is EntryKind.WAIT:
            reads = entry.until.get("reads") if entry.until is not None else None
            until = f", until the {gauge.label} reads {getattr(reads, 'text', 'so')}" if gauge else ""
            return f"Wait {shown(job, draft.lasts or '')}{until}."
        if entry.kind is EntryKind.READ:
            return f"Read the {gauge.label}." if gauge else "Read the gauge."
        return sentences(job, scope, draft.acts) or "Do this step."

    def _path(self, path: tuple[str, ...], name: str, entry: Entry) -> tuple[str, ...]:
        full = (*path, name)
        joined = "/".join(full)
        if joined in self.paths:
            where = entry.id.span if entry.id is not None else entry.span
            self.job.fault(
                "graph/duplicate-id",
                f"Two entries have the id `{joined}`. Give one of them an `id` of its own.",
                where,
            )
        self.paths.add(joined)
        return full


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

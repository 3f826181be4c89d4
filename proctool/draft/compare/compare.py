"""Two procedures compared: what differs in their steps, and in what is proven of them.

Nothing is taken from what the files claim: what keeps an energy away is read off a replay, charges and broken
rules are those of the proof.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import replace

from proctool.draft.compare.aspects import differences
from proctool.draft.compare.barrings import barrings
from proctool.draft.compare.pairing import Couple, couples, pairs, translated, with_differences
from proctool.draft.compare.unit_changes import unit_changes
from proctool.draft.compare.weigh import weigh
from proctool.model.comparison import Barring, Broken, Comparison, Difference, Pair, Safety, Side, Stretch
from proctool.model.plan import Plan, Step, every_step
from proctool.model.rows import Table
from proctool.model.verdict import Charge
from proctool.network.reach import bits


def compare(old: Side, new: Side, same: ReadOnly[str, str] | None = None) -> Comparison:
    """All that differs between two procedures, each on a unit.

    `same` says which part of the first unit stands for which of the second; others keep their name. Where one
    side could not be resolved, only verdicts and what is broken can be compared.
    """
    names = same or {}
    bare = Comparison(old, new, Safety.SAME, ())
    if old.plan is None or new.plan is None:
        known = {_key(b) for b in old.broken}, {_key(b) for b in new.broken}
        bare = replace(
            bare,
            broken=tuple(b for b in new.broken if _key(b) not in known[0]),
            mended=tuple(b for b in old.broken if _key(b) not in known[1]),
        )
    else:
        bare = _steps(bare, old.plan, new.plan, names)
    safety, reasons = weigh(bare)
    return replace(bare, safety=safety, reasons=reasons)


def _steps(found: Comparison, was: Plan, now: Plan, same: ReadOnly[str, str]) -> Comparison:
    """The comparison of two plans, not yet weighed."""
    before, after = every_step(was.frame), every_step(now.frame)
    coupled = couples(before, after, same)
    of_old = {before[i].id: after[j].id for i, j in coupled}

    def both(i: int, j: int) -> Pair:
        said = differences(was, before[i], now, after[j], same)
        return Pair(i, j, (*said, *_redrawn(found, before[i], after[j])))

    def renamed(broken: Broken) -> tuple[str, str | None, str]:
        step = broken.step and of_old.get(broken.step, translated(broken.step, same))
        return broken.rule, step, same.get(broken.part, broken.part)

    old, new = found.old, found.new
    had, has = {renamed(b) for b in old.broken}, {_key(b) for b in new.broken}
    critical = {of_old.get(step, step) for step in old.critical or ()}
    return replace(
        found,
        pairs=tuple(with_differences(p, both) for p in pairs(len(before), len(after), coupled)),
        order=tuple(_order(was, now, of_old)),
        broken=tuple(b for b in new.broken if _key(b) not in had),
        mended=tuple(b for b in old.broken if renamed(b) not in has),
        barrings=tuple(_barrings(barrings(was), barrings(now), same)),
        stretches=tuple(_stretches(found, before, after, coupled, same)),
        critical=tuple(s.id for s in after if s.id in (new.critical or ()) and s.id not in critical),
        no_longer_critical=tuple(
            s.id
            for s in before
            if new.critical is not None and s.id in (old.critical or ())
            if of_old.get(s.id) not in new.critical
        ),
        unit=unit_changes(was.unit, now.unit, same),
        tables=tuple(_tables(old.tables, new.tables)),
    )


def _key(broken: Broken) -> tuple[str, str | None, str]:
    return broken.rule, broken.step, broken.part


# ---------------------------------------------------------------------------- order


def _redrawn(found: Comparison, was: Step, now: Step) -> Iterator[Difference]:
    """A picture of the same name that is not the same, told by the first digits of its fingerprint."""
    if was.figure is None or now.figure is None or was.figure.file != now.figure.file:
        return
    file = now.figure.file
    had, has = found.old.figures.get(file), found.new.figures.get(file)
    if had is not None and has is not None and had != has:
        yield Difference("picture", *(f"{file}, fingerprint {digest[:12]}" for digest in (had, has)))


def _order(was: Plan, now: Plan, of_old: ReadOnly[str, str]) -> Iterator[str]:
    """What a main step of both waited for right before it and does not any more, and the other way round."""
    places = {step.id: i for i, step in enumerate(now.frame.steps)}
    at = [places.get(of_old.get(step.id, "")) for step in was.frame.steps]
    back = {j: i for i, j in enumerate(at) if j is not None}
    yield from _waits(was, now, at, "no longer waits for")
    yield from _waits(now, was, [back.get(j) for j in range(len(now.frame.steps))], "now waits for")


def _waits(one: Plan, other: Plan, at: Sequence[int | None], said: str) -> Iterator[str]:
    """Steps of one list, both known to the other, that wait for one another in the first alone."""
    before = one.frame.before
    for i, earlier in enumerate(before):
        here = at[i]
        if here is None:
            continue
        known = sum(1 << k for k in bits(earlier) if at[k] is not None)
        for k in bits(known):
            there = at[k]
            right_before = not any(before[m] >> k & 1 for m in bits(known))
            if right_before and there is not None and not other.frame.before[here] >> there & 1:
                yield f"{one.frame.steps[i].id} {said} {one.frame.steps[k].id}"


# ---------------------------------------------------------------------------- states


def _barrings(
    old: Iterable[Barring], new: Iterable[Barring], same: ReadOnly[str, str]
) -> Iterator[tuple[Barring | None, Barring | None]]:
    """What keeps an energy from an opened part, where it is not the same."""

    def renamed(names: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(same.get(name, name) for name in names)

    was = {
        (b.part, b.energy): b
        for b in (
            replace(
                b,
                part=same.get(b.part, b.part),
                isolators=renamed(b.isolators),
                locked=renamed(b.locked),
                vents=renamed(b.vents),
                verified_by=renamed(b.verified_by),
            )
            for b in old
        )
    }
    now = {(b.part, b.energy): b for b in new}
    for key in (*now, *(key for key in was if key not in now)):
        one, other = was.get(key), now.get(key)
        if one is None or other is None or _sets(one) != _sets(other):
            yield one, other


def _sets(b: Barring) -> tuple[object, ...]:
    return b.charge, *(frozenset(names) for names in (b.isolators, b.locked, b.vents, b.verified_by))


def _stretches(
    found: Comparison,
    before: Sequence[Step],
    after: Sequence[Step],
    coupled: Sequence[Couple],
    same: ReadOnly[str, str],
) -> Iterator[Stretch]:
    """Where the worst charge after a step of both is another than it was; steps with one change together."""
    if found.old.proof is None or found.new.proof is None:
        return
    worst, other = found.old.proof.worst, found.new.proof.worst
    alike: dict[tuple[str, Charge, Charge, tuple[str, ...]], list[str]] = {}
    for i, j in sorted(coupled, key=lambda couple: couple[1]):
        was = {(same.get(p, p), e): c for (p, e), c in worst.get(before[i].id, {}).items()}
        changed: dict[tuple[str, Charge, Charge], list[str]] = {}
        for (part, energy), now in other.get(after[j].id, {}).items():
            if (charge := was.get((part, energy), now)) is not now:
                changed.setdefault((energy, charge, now), []).append(part)
        for change, parts in changed.items():
            alike.setdefault((*change, tuple(parts)), []).append(after[j].id)
    for (energy, charge, now, names), steps in alike.items():
        yield Stretch(names, energy, charge, now, tuple(steps))


# ---------------------------------------------------------------------------- tables


def _tables(old: Iterable[Table], new: Iterable[Table]) -> Iterator[Difference]:
    """Tables on one side alone, and rows that say otherwise."""
    was, now = ({table.name: _rows(table) for table in tables} for tables in (old, new))
    for name in (*was, *(name for name in now if name not in was)):
        one, other = was.get(name, {}), now.get(name, {})
        for row in (*one, *(row for row in other if row not in one)):
            if one.get(row) != other.get(row):
                yield Difference(f"table {name}, {row}", one.get(row, ""), other.get(row, ""))


def _rows(table: Table) -> dict[str, str]:
    """Each row by its readings, and the title under `title`."""
    rows = {
        ", ".join(cell.shown.text for cell in row.readings) or "its answer": ", ".join(
            cell.shown.text for cell in row.answers
        )
        for row in table.rows
    }
    return {"title": table.title, **rows}

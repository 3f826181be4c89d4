"""A comparison in words: what differs, under one heading for each respect, the proof before the steps."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import groupby

from proctool.draft.compare.aspects import plain, spaced
from proctool.model.comparison import Barring, Broken, Comparison, Difference, Row, Section, Sheet, Side
from proctool.model.plan import BackTo, Frame, Step, every_step

_ISOLATION = "Isolation of what is opened, right before it is opened first"
_SAME = "same verdict, orders, isolations, states, waits and limits"
_SAME_CRITICAL = "same verdict, orders, isolations, critical steps, states, waits and limits"


def told(found: Comparison) -> Sheet:
    """The sheet of a comparison. What is alike on both sides has no section."""
    units = dict.fromkeys((found.old.judgement.unit, found.new.judgement.unit))
    asked = None not in (found.old.critical, found.new.critical)
    same = _SAME_CRITICAL if asked else _SAME
    headline = f"on {' → '.join(units)}: {'; '.join(found.reasons) or same}."
    plans = [side.plan for side in (found.old, found.new) if side.plan is not None]
    titles = dict.fromkeys(plan.title for plan in plans)
    title = f"{' → '.join(titles) or found.new.judgement.procedure}: {' → '.join(units)}"
    sections = (
        Section("rules", "Rules", tuple(_rules(found))),
        Section("isolation", _ISOLATION, tuple(_isolation(found))),
        Section("critical", "Critical steps", tuple(_critical(found))),
        Section("states", "What parts hold after steps, the worst over all orders", tuple(_states(found))),
        Section("order", "Order of the steps", tuple(Row("~", text) for text in found.order)),
        Section("steps", _counted(found), tuple(_steps(found))),
        Section("tables", "Tables", tuple(map(_difference, found.tables))),
        Section("unit", "Unit file", tuple(map(_difference, found.unit))),
    )
    return Sheet(found, title, headline, tuple(section for section in sections if section.rows))


def _rules(found: Comparison) -> Iterator[Row]:
    def where(broken: Broken) -> str:
        by = "" if broken.proof else " (not of the proof)"
        return f"{broken.rule}{by}, {broken.step or 'at the end'}"

    yield from (Row("!", where(b), "kept", f"broken: {b.message}") for b in found.broken)
    yield from (Row("+", where(b), f"broken: {b.message}", "kept") for b in found.mended)


def _isolation(found: Comparison) -> Iterator[Row]:
    for was, now in found.barrings:
        side, one = (found.new, now) if now is not None else (found.old, was)
        if one is not None:
            what = f"{_part(one.part, side)}, {_energy(one.energy, side)}"
            yield Row("~", what, _kept(was, found.old, found.new), _kept(now, found.new, found.old))


def _kept(barring: Barring | None, *sides: Side) -> str:
    if barring is None:
        return "not opened"

    def names(parts: Iterable[str]) -> str:
        return ", ".join(_part(part, *sides) for part in parts)

    locks = {i: "locked" if i in barring.locked else "NOT LOCKED" for i in barring.isolators}
    held = [f"{_part(i, *sides)} {lock}" for i, lock in locks.items()]
    said = [barring.charge.value, f"isolated by {', '.join(held) or 'nothing'}"]
    if barring.vents:
        said.append(f"open {names(barring.vents)}")
    by = f"zero verified by {names(barring.verified_by)}" if barring.verified_by else "zero not verified"
    return "; ".join([*said, by])


def _critical(found: Comparison) -> Iterator[Row]:
    yield from (Row("!", step, now="critical") for step in found.critical)
    yield from (Row("+", step, was="critical") for step in found.no_longer_critical)


def _states(found: Comparison) -> Iterator[Row]:
    for s in found.stretches:
        parts = ", ".join(_part(part, found.new, found.old) for part in s.parts)
        more = f" and {len(s.steps) - 1} more steps" if len(s.steps) > 1 else ""
        what = f"{_energy(s.energy, found.new)} in {parts}, after {s.steps[0]}{more}"
        yield Row("~", what, s.was.value, s.now.value)


def _difference(d: Difference) -> Row:
    return Row("~" if d.was and d.now else "+" if d.now else "-", d.name, d.was, d.now)


# ---------------------------------------------------------------------------- steps


def _counted(found: Comparison) -> str:
    kinds = {
        "added": sum(p.was is None for p in found.pairs),
        "removed": sum(p.now is None for p in found.pairs),
        "moved": sum(p.moved for p in found.pairs),
        "changed": sum(bool(p.differences) for p in found.pairs),
    }
    told = ", ".join(f"{number} {word}" for word, number in kinds.items() if number)
    return f"Steps: {told or 'all as they were'}"


def _steps(found: Comparison) -> Iterator[Row]:
    """Steps that differ, those with the same text and difference once; between them how many do not."""
    old, new = _numbered(found.old), _numbered(found.new)
    alike: dict[tuple[object, ...], list[str]] = {}
    rows: list[tuple[tuple[object, ...], Row] | None] = []
    for pair in found.pairs:
        was = old[pair.was] if pair.was is not None else None
        now = new[pair.now] if pair.now is not None else None
        one = now or was
        if one is None or (was and now and not pair.moved and not pair.differences):
            rows.append(None)
            continue
        sign = "+" if was is None else "-" if now is None else "~"
        key = (sign, one[1].text, pair.moved, pair.differences)
        same = alike.setdefault(key, [])
        if not same:
            what = one[1].id + (", moved" if pair.moved else "")
            more = tuple(d for d in pair.differences if d.name != "text")
            rows.append((key, Row(sign, what, _text(was), _text(now), more)))
        same.append(one[1].id)
    if not alike:
        return
    for as_before, group in groupby(rows, key=lambda row: row is None):
        if as_before:
            many = len(tuple(group))
            yield Row("=", f"{many} step{'s' if many > 1 else ''} as before")
        for found_as, row in filter(None, group):
            others = len(alike[found_as]) - 1
            yield replace(row, what=f"{row.what}, and {others} more like it") if others else row


def _text(step: tuple[str, Step] | None) -> str:
    return f"{step[0]}. {plain(step[1].text)}" if step is not None else ""


def _numbered(side: Side) -> tuple[tuple[str, Step], ...]:
    """Every step in file order with its number: those of an `otherwise` below that of their check."""
    if side.plan is None:
        return ()
    numbers: dict[str, str] = {}

    def count(frame: Frame, above: str) -> None:
        for place, step in enumerate(frame.steps, start=1):
            numbers.setdefault(step.id, f"{above}{place}")
            otherwise = step.otherwise
            while otherwise is not None:
                count(otherwise.frame, f"{numbers[step.id]}.")
                ending = otherwise.ending
                otherwise = ending.then if isinstance(ending, BackTo) else None

    count(side.plan.frame, "")
    return tuple((numbers[step.id], step) for step in every_step(side.plan.frame))


def _part(name: str, *sides: Side) -> str:
    """A part by name and tag, from the first side that has it."""
    units = (side.plan.unit for side in sides if side.plan is not None)
    return next((unit.parts[name].label for unit in units if name in unit.parts), spaced(name))


def _energy(name: str, side: Side) -> str:
    energies = side.plan.unit.energies if side.plan is not None else {}
    return energies[name].name if name in energies else spaced(name)

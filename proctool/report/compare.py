"""`compare`: two procedures side by side, for people line by line and for programs.

What a comparison says of safety comes first, in words and numbers that `render` uses as well.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence

from proctool.model.comparison import Barring, Broken, Comparison, Difference, Safety, Side
from proctool.model.plan import Step, every_step
from proctool.report.columns import wrapped
from proctool.report.text import WIDTH, Paint, explored, plain, unmarked, verdict_words

_COLOURS = {Safety.WORSE: "error", Safety.DIFFERENT: "warning", Safety.BETTER: "safe", Safety.SAME: "safe"}
_WORDS = {
    Safety.WORSE: "SAFETY WORSE",
    Safety.BETTER: "SAFETY BETTER",
    Safety.DIFFERENT: "SAFETY DIFFERENT",
    Safety.SAME: "SAFETY THE SAME",
}
_SAME = "verdict, orders, isolations, states, waits and limits"


def to_text(comparisons: Sequence[Comparison], *, width: int = WIDTH, paint: Paint = plain) -> str:
    """For each unit first whether the safety changed, then what differs, the proof before the steps."""
    lines: list[str] = []
    for found in comparisons:
        head, *more = wrapped(_headline(found), width)
        word = _WORDS[found.safety]
        lines += [head.replace(word, paint(word, _COLOURS[found.safety]), 1), *(f"  {line}" for line in more)]
    for found in comparisons:
        lines += ["", *_one(found, width, paint)]
    return "\n".join(lines) + "\n"


def _headline(found: Comparison) -> str:
    units = dict.fromkeys((found.old.judgement.unit, found.new.judgement.unit))
    why = "; ".join(found.reasons) if found.reasons else f"same {_SAME}"
    return f"{_WORDS[found.safety]} on {' → '.join(units)}: {why}."


def _one(found: Comparison, width: int, paint: Paint) -> list[str]:
    lines = [paint(_title(found), "place")]
    for word, side in (("was", found.old), ("now", found.new)):
        lines += _row(word, f"{side.name}: {verdict_words(side.judgement.verdict)}; {explored(side.judgement)}", width)
    for heading, rows in _sections(found):
        lines += ["", paint(heading, "place")]
        for label, text in rows:
            lines += _row(label, text, width)
    return lines


def _title(found: Comparison) -> str:
    plans = [side.plan for side in (found.old, found.new) if side.plan is not None]
    titles = dict.fromkeys(f"{plan.title}: {plan.unit.id}" for plan in plans)
    return " → ".join(titles) or found.new.name


def _row(label: str, text: str, width: int) -> list[str]:
    first, *more = wrapped(text, width - 9) or [""]
    return [f"  {label:<6} {first}".rstrip(), *(f"{'':9}{line}" for line in more)]


Row = tuple[str, str]
"""A sign or short word, and what stands beside it."""


def _sections(found: Comparison) -> Iterator[tuple[str, list[Row]]]:
    """Everything that differs under its heading; what is alike has none."""
    rows = [*_broken("BROKEN", found, found.broken), *_broken("mended", found, found.mended)]
    isolations = [row for pair in found.barrings for row in _barring(found, *pair)]
    critical = [("CRIT", step) for step in found.critical]
    critical += [("no", f"{step} is not critical any more, or gone") for step in found.no_longer_critical]
    states = [
        ("~", f"{_part(found.new, s.part)}, {_energy(found.new, s.energy)}: {s.was} → {s.now} after {_steps(s.steps)}")
        for s in found.stretches
    ]
    for heading, told in (
        ("Rules", rows),
        ("Isolation of what is opened, right before it is opened first", isolations),
        ("Critical steps", critical),
        ("States, the worst over all orders", states),
        ("Order", [("~", text) for text in found.order]),
        (_counted(found), list(_pairs(found))),
        ("Tables", [_difference(d) for d in found.tables]),
        ("Unit file", [_difference(d) for d in found.unit]),
    ):
        if told:
            yield heading, told


def _broken(word: str, found: Comparison, broken: Sequence[Broken]) -> Iterator[Row]:
    for b in broken:
        by = "" if b.proof else " (not of the proof)"
        yield word, f"{b.rule}{by} at {b.step or 'the end'}: {b.message}"


def _barring(found: Comparison, was: Barring | None, now: Barring | None) -> Iterator[Row]:
    one = now or was
    if one is None:
        return
    side = found.new if now is not None else found.old
    yield "", f"{_part(side, one.part)}, {_energy(side, one.energy)}"
    yield "  was", _kept(found.old, was, found)
    yield "  now", _kept(found.new, now, found)


def _kept(side: Side, b: Barring | None, found: Comparison) -> str:
    if b is None:
        return "not opened"
    locked = set(b.locked)
    held = [f"{_part(found.new, i, side)}{' locked' if i in locked else ' NOT LOCKED'}" for i in b.isolators]
    said = [b.charge.value, f"isolated by {', '.join(held) or 'nothing'}"]
    said += [f"open {', '.join(_part(found.new, v, side) for v in b.vents)}"] * bool(b.vents)
    by = ", ".join(_part(found.new, g, side) for g in b.verified_by)
    return "; ".join([*said, f"zero verified by {by}" if by else "zero not verified"])


def _counted(found: Comparison) -> str:
    kinds = {
        "added": sum(p.was is None for p in found.pairs),
        "removed": sum(p.now is None for p in found.pairs),
        "moved": sum(p.moved for p in found.pairs),
        "changed": sum(bool(p.differences) for p in found.pairs),
    }
    told = [f"{number} {word}" for word, number in kinds.items() if number]
    return f"Steps: {', '.join(told) or 'all as they were'}"


def _pairs(found: Comparison) -> Iterator[Row]:
    old, new = _steps_of(found.old), _steps_of(found.new)
    for pair in found.pairs:
        if pair.now is None and pair.was is not None:
            yield "-", _step(old[pair.was])
        elif pair.was is None and pair.now is not None:
            yield "+", _step(new[pair.now])
        elif pair.now is not None and (pair.moved or pair.differences):
            yield "~", _step(new[pair.now]) + (" (moved)" if pair.moved else "")
            for d in pair.differences:
                yield "", f"{d.name}: {d.was or '(none)'} → {d.now or '(none)'}"


def _step(step: Step) -> str:
    return f"{unmarked(step.text)} [{step.id}]"


def _steps_of(side: Side) -> tuple[Step, ...]:
    return every_step(side.plan.frame) if side.plan is not None else ()


def _steps(ids: Sequence[str]) -> str:
    return ids[0] if len(ids) == 1 else f"{ids[0]} … {ids[-1]} ({len(ids)} steps)"


def _difference(d: Difference) -> Row:
    if not d.was or not d.now:
        return ("+", f"{d.name}: {d.now}") if d.now else ("-", f"{d.name}: {d.was}")
    return "~", f"{d.name}: {d.was} → {d.now}"


def _part(side: Side, name: str, other: Side | None = None) -> str:
    """A part by name and tag, from the first side that has it."""
    for plan in (side.plan, other.plan if other is not None else None):
        if plan is not None and name in plan.unit.parts:
            return plan.unit.parts[name].label
    return name.replace("_", " ")


def _energy(side: Side, name: str) -> str:
    energies = side.plan.unit.energies if side.plan is not None else {}
    return energies[name].name if name in energies else name.replace("_", " ")


# ---------------------------------------------------------------------------- for programs


def to_json(comparisons: Sequence[Comparison]) -> str:
    """`{"comparisons": [{"was", "now", "safety", "reasons", …}]}`; what is not there is null or `[]`.

    `was` and `now` are `{"name", "procedure", "unit", "verdict", "orders", "states"}`; `steps` has an entry for
    each step that is not the same on both sides, with `kind` `added`, `removed`, `moved` or `changed`.
    """
    return json.dumps({"comparisons": [_data(found) for found in comparisons]}, indent=2, ensure_ascii=False) + "\n"


def _data(found: Comparison) -> dict[str, object]:
    return {
        "was": _side(found.old),
        "now": _side(found.new),
        "safety": found.safety.value,
        "reasons": list(found.reasons),
        "broken": [_rule(b) for b in found.broken],
        "mended": [_rule(b) for b in found.mended],
        "isolation": [
            {"was": _bar(was) if was else None, "now": _bar(now) if now else None} for was, now in found.barrings
        ],
        "critical": {"new": list(found.critical), "gone": list(found.no_longer_critical)},
        "states": [
            {"part": s.part, "energy": s.energy, "was": s.was.value, "now": s.now.value, "steps": list(s.steps)}
            for s in found.stretches
        ],
        "order": list(found.order),
        "steps": list(_step_data(found)),
        "tables": [_plain(d) for d in found.tables],
        "unit": [_plain(d) for d in found.unit],
    }


def _side(side: Side) -> dict[str, object]:
    j = side.judgement
    orders = str(j.orders) if j.orders is not None else None
    return {
        "name": side.name,
        "procedure": j.procedure,
        "unit": j.unit,
        "verdict": j.verdict.value,
        "orders": orders,
        "states": j.states,
    }


def _rule(b: Broken) -> dict[str, object]:
    return {"rule": b.rule, "step": b.step, "part": b.part, "message": b.message, "proof": b.proof}


def _bar(b: Barring) -> dict[str, object]:
    return {
        "part": b.part,
        "energy": b.energy,
        "charge": b.charge.value,
        "isolators": list(b.isolators),
        "locked": list(b.locked),
        "vents": list(b.vents),
        "verified_by": list(b.verified_by),
    }


def _step_data(found: Comparison) -> Iterator[dict[str, object]]:
    old, new = _steps_of(found.old), _steps_of(found.new)
    for pair in found.pairs:
        was = old[pair.was].id if pair.was is not None else None
        now = new[pair.now].id if pair.now is not None else None
        kind = "removed" if now is None else "added" if was is None else "changed" if pair.differences else "moved"
        if pair.differences or pair.moved or was is None or now is None:
            told = [_plain(d) for d in pair.differences]
            yield {"kind": kind, "was": was, "now": now, "moved": pair.moved, "differences": told}


def _plain(d: Difference) -> dict[str, str]:
    return {"name": d.name, "was": d.was, "now": d.now}

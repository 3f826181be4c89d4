"""`compare`: two procedures side by side, for people line by line and for programs."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence

from proctool.model.comparison import (
    Barring,
    Broken,
    Comparison,
    Difference,
    Row,
    Safety,
    Section,
    Sheet,
    Side,
)
from proctool.model.plan import Step, every_step
from proctool.report.columns import wrapped
from proctool.report.text import WIDTH, Paint, explored, plain, verdict_words

_COLOURS = {
    Safety.WORSE: "error",
    Safety.DIFFERENT: "warning",
    Safety.BETTER: "safe",
    Safety.SAME: "safe",
}
_WORDS = {
    Safety.WORSE: "SAFETY WORSE",
    Safety.BETTER: "SAFETY BETTER",
    Safety.DIFFERENT: "SAFETY DIFFERENT",
    Safety.SAME: "SAFETY THE SAME",
}


def to_text(
    sheets: Sequence[Sheet], alone: Sequence[str] = (), *, width: int = WIDTH, paint: Paint = plain
) -> str:
    """For each unit first whether the safety changed, then what differs.

    `alone` tells of units that only one side is for.
    """
    lines: list[str] = []
    for sheet in sheets:
        safety = sheet.comparison.safety
        head, *more = wrapped(f"{_WORDS[safety]} {sheet.headline}", width)
        word = _WORDS[safety]
        lines += [head.replace(word, paint(word, _COLOURS[safety]), 1), *more]
    lines += [line for text in alone for line in wrapped(text, width)]
    for sheet in sheets:
        lines += ["", *_sheet(sheet, width, paint)]
    return "\n".join(lines) + "\n"


def _sheet(sheet: Sheet, width: int, paint: Paint) -> Iterator[str]:
    yield paint(sheet.title, "place")
    for word, side in (("was", sheet.comparison.old), ("now", sheet.comparison.new)):
        verdict = f"{verdict_words(side.judgement.verdict)}; {explored(side.judgement)}"
        yield from _line(word, f"{side.name}: {verdict}", width)
    for section in sheet.sections:
        yield ""
        yield paint(section.heading, "place")
        yield from rows(section, width)


def rows(section: Section, width: int) -> Iterator[str]:
    """The lines of a section below its heading."""
    for row in section.rows:
        yield from _step(row, width) if section.name == "steps" else _row(row, width)


def _row(row: Row, width: int) -> Iterator[str]:
    """What differs, and on a line for each side how."""
    short = f"{row.what}: {row.was} → {row.now}" if row.was and row.now else ""
    if short and len(short) <= width - _INDENT:
        yield from _line(row.sign, short, width)
        return
    one = row.was or row.now
    if one and not (row.was and row.now):
        yield from _line(row.sign, f"{row.what}: {one}", width)
        return
    yield from _line(row.sign, row.what, width)
    if one:
        yield from _line("  was", row.was, width)
        yield from _line("  now", row.now, width)


def _step(row: Row, width: int) -> Iterator[str]:
    """A step as it is now, or as it was; how it was, where its text is not the same."""
    yield from _line(row.sign, row.now or row.was or row.what, width)
    if row.now or row.was:
        yield from _line("", row.what, width)
    if row.was and row.now and _unnumbered(row.was) != _unnumbered(row.now):
        yield from _line("  was", row.was, width)
    for difference in row.more:
        yield from _line("", f"{difference.name}:", width)
        yield from _line("  was", difference.was or "(none)", width)
        yield from _line("  now", difference.now or "(none)", width)


def _unnumbered(text: str) -> str:
    return text.partition(". ")[2]


_INDENT = 8
"""Columns of the sign at the left."""


def _line(sign: str, text: str, width: int) -> list[str]:
    first, *more = wrapped(text, width - _INDENT) or [""]
    return [f"  {sign:<{_INDENT - 3}} {first}".rstrip(), *(" " * _INDENT + line for line in more)]


# ---------------------------------------------------------------------------- for programs


def to_json(comparisons: Sequence[Comparison], alone: Sequence[str] = ()) -> str:
    """`{"comparisons": [{"was", "now", "safety", "reasons", …}], "alone"}`; what is not there is null.

    `was` and `now` are `{"name", "procedure", "unit", "verdict", "orders", "states"}`. `steps` has an entry
    for each step that is not the same on both sides, with `kind` `added`, `removed`, `moved` or `changed`;
    `alone` tells of units that only one side is for.
    """
    whole = {"comparisons": [_data(found) for found in comparisons], "alone": list(alone)}
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def _data(found: Comparison) -> dict[str, object]:
    return {
        "was": _side(found.old),
        "now": _side(found.new),
        "safety": found.safety.value,
        "reasons": list(found.reasons),
        "broken": [_rule(b) for b in found.broken],
        "mended": [_rule(b) for b in found.mended],
        "isolation": [
            {"was": _bar(was) if was else None, "now": _bar(now) if now else None}
            for was, now in found.barrings
        ],
        "critical": {"new": list(found.critical), "gone": list(found.no_longer_critical)},
        "states": [
            {
                "parts": list(s.parts),
                "energy": s.energy,
                "was": s.was.value,
                "now": s.now.value,
                "steps": list(s.steps),
            }
            for s in found.stretches
        ],
        "order": list(found.order),
        "steps": list(_step_data(found)),
        "tables": [_plain(d) for d in found.tables],
        "unit": [_plain(d) for d in found.unit],
    }


def _steps_of(side: Side) -> tuple[Step, ...]:
    return every_step(side.plan.frame) if side.plan is not None else ()


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
        both = "changed" if pair.differences else "moved"
        kind = "removed" if now is None else "added" if was is None else both
        if pair.differences or pair.moved or was is None or now is None:
            told = [_plain(d) for d in pair.differences]
            yield {"kind": kind, "was": was, "now": now, "moved": pair.moved, "differences": told}


def _plain(d: Difference) -> dict[str, str]:
    return {"name": d.name, "was": d.was, "now": d.now}

"""Comparisons as one page: whether the safety changed, then what differs, the two sides in columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from proctool.model.comparison import Safety, Section, Sheet, Side
from proctool.model.verdict import Verdict
from proctool.render import words
from proctool.render.html import document

_SAFETY = {
    Safety.WORSE: "Safety worse",
    Safety.BETTER: "Safety better",
    Safety.DIFFERENT: "Safety different",
    Safety.SAME: "Safety the same",
}
_VERDICTS = {
    Verdict.SAFE: "Proven safe",
    Verdict.SAFE_WITH_DEVIATIONS: "Safe with recorded deviations",
    Verdict.UNSAFE: "UNSAFE",
    Verdict.UNPROVEN: "NOT PROVEN",
}
_SIGNS = {"+": "new", "-": "gone", "~": "differs", "!": "worse", "=": "as before"}
"""The signs of rows in words: no meaning hangs on a sign or a colour alone."""


@dataclass(frozen=True, slots=True)
class View:
    """One comparison, ready to be drawn."""

    safety: str
    tone: str
    headline: str
    title: str
    anchor: str
    sides: tuple[tuple[str, str, str], ...]
    """Of each side its word, its name, and its verdict with what stands behind it."""
    sections: tuple[Section, ...]


def page(sheets: Sequence[Sheet], alone: Sequence[str] = ()) -> str:
    """One self-contained HTML page without a script, for a screen of any width and for paper.

    `alone` tells of units that only one side is for.
    """
    views = tuple(_view(sheet, f"unit-{place}") for place, sheet in enumerate(sheets, start=1))
    plans = (side.plan for sheet in sheets for side in (sheet.comparison.old, sheet.comparison.new))
    facts = next((plan.facts for plan in plans if plan is not None and plan.facts is not None), None)
    return document(
        "compare.html.j2",
        "screen",
        ("compare.css",),
        language=facts.language if facts is not None else "en",
        library=facts.library if facts is not None else "",
        views=views,
        alone=alone,
        signs=_SIGNS,
        title=" · ".join(dict.fromkeys(view.title for view in views)),
    )


def _view(sheet: Sheet, anchor: str) -> View:
    found = sheet.comparison
    return View(
        _SAFETY[found.safety],
        found.safety.value,
        sheet.headline,
        sheet.title,
        anchor,
        (("Was", *_side(found.old)), ("Now", *_side(found.new))),
        sheet.sections,
    )


def _side(side: Side) -> tuple[str, str]:
    judgement = side.judgement
    said = [_VERDICTS[judgement.verdict]]
    if not judgement.states:
        said.append("could not be resolved for this unit")
    elif judgement.orders is not None:
        said.append(f"{judgement.orders:,} order{'' if judgement.orders == 1 else 's'} allowed")
    if judgement.states:
        said.append(f"{judgement.states:,} states looked at")
    return side.name, words.capital("; ".join(said))

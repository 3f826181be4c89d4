"""Comparisons as one page: whether the safety changed, then what differs, the two sides in columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from proctool.model.comparison import Safety, Section, Sheet, Side
from proctool.model.verdict import Verdict
from proctool.render import words
from proctool.render.html import document
from proctool.render.speech import counted, fixed, say, speaking

_SAFETY = {
    Safety.WORSE: fixed("Safety worse"),
    Safety.BETTER: fixed("Safety better"),
    Safety.DIFFERENT: fixed("Safety different"),
    Safety.SAME: fixed("Safety the same"),
}
_VERDICTS = {
    Verdict.SAFE: fixed("Proven safe"),
    Verdict.SAFE_WITH_DEVIATIONS: fixed("Safe with recorded deviations"),
    Verdict.UNSAFE: fixed("UNSAFE"),
    Verdict.UNPROVEN: fixed("NOT PROVEN"),
}
_SIGNS = {
    "+": ("new", fixed("new")),
    "-": ("gone", fixed("gone")),
    "~": ("differs", fixed("differs")),
    "!": ("worse", fixed("worse")),
}
"""Style and words of the signs of rows: no meaning hangs on a sign or a colour alone."""


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
    plans = (side.plan for sheet in sheets for side in (sheet.comparison.old, sheet.comparison.new))
    facts = next((plan.facts for plan in plans if plan is not None and plan.facts is not None), None)
    language = facts.language if facts is not None else "en"
    with speaking(language):
        views = tuple(_view(sheet, f"unit-{place}") for place, sheet in enumerate(sheets, start=1))
        return document(
            "compare.html.j2",
            "screen",
            ("compare.css",),
            language=language,
            library=facts.library if facts is not None else "",
            views=views,
            alone=alone,
            signs={sign: (style, say(name)) for sign, (style, name) in _SIGNS.items()},
            title=" · ".join(dict.fromkeys(view.title for view in views)),
        )


def _view(sheet: Sheet, anchor: str) -> View:
    found = sheet.comparison
    return View(
        say(_SAFETY[found.safety]),
        found.safety.value,
        sheet.headline,
        sheet.title,
        anchor,
        ((say("Was"), *_side(found.old)), (say("Now"), *_side(found.new))),
        sheet.sections,
    )


def _side(side: Side) -> tuple[str, str]:
    judgement = side.judgement
    said = [say(_VERDICTS[judgement.verdict])]
    if not judgement.states:
        said.append(say("could not be resolved for this unit"))
    elif judgement.orders is not None:
        orders = judgement.orders
        said.append(counted("{n} order allowed", "{n} orders allowed", orders, n=f"{orders:,}"))
    if judgement.states:
        said.append(
            counted(
                "{n} states looked at", "{n} states looked at", judgement.states, n=f"{judgement.states:,}"
            )
        )
    return side.name, words.capital(words.clauses(said))

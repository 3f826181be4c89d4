"""`adapt`: what was carried over to another unit, what is new there, and what stays open."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from collections.abc import Mapping as ReadOnly
from dataclasses import replace

from proctool.model.adapting import OPEN_QUESTION, Adapted, Feed, Ground, Match
from proctool.model.comparison import Difference, Section, Sheet
from proctool.model.finding import Finding, Level
from proctool.report.columns import wrapped
from proctool.report.compare import rows
from proctool.report.json import report as findings_data
from proctool.report.text import WIDTH, Paint, explored, plain, verdict_words

_SHOWN = ("isolation", "steps", "tables", "unit")
"""What is told of the comparison; `compare` tells the rest."""


def to_text(found: Adapted, sheet: Sheet, *, width: int = WIDTH, paint: Paint = plain) -> str:
    """First what the draft is worth and what is open, then parts, ways of energies, and what differs."""
    return "\n".join(_lines(found, sheet, width, paint)) + "\n"


def _lines(found: Adapted, sheet: Sheet, width: int, paint: Paint) -> Iterator[str]:
    answers = {question.text: question.name for question in found.questions if question.answerable}
    told = _grouped(found.open, answers)
    errors = sum(first.level is Level.ERROR for first, _ in told)
    word = verdict_words(found.judgement.verdict)
    yield paint(f"{found.procedure} for {found.unit}, adapted from {found.source}", "place")
    yield f"  draft  {found.file}"
    yield f"  proof  {paint(word, found.judgement.verdict.value)}; {explored(found.judgement)}"
    yield f"  open   {errors} to be settled, {len(told) - errors} to be looked at"
    yield from _block("Open", [_open(first, many, answers) for first, many in told], width, paint)
    parts = [_match(found, m) for m in found.matches]
    yield from _block("Parts, and what stands for them", parts, width, paint)
    yield from _block("Energies that come past what was isolated before", list(_feeds(found)), width, paint)
    for section in filter(None, map(_shown, sheet.sections)):
        yield ""
        yield paint(section.heading, "place")
        yield from rows(section, width)
    if not sheet.sections:
        yield from _block("Unit file", [_unit(d) for d in found.differences], width, paint)


def _shown(section: Section) -> Section | None:
    """A section of the comparison without what is only called otherwise; orders and states are not shown."""
    if section.name not in _SHOWN:
        return None
    if section.name != "steps":
        return section
    told = tuple(row for row in section.rows if row.more or row.sign in {"+", "-"})
    return replace(section, rows=told) if told else None


def _unit(d: Difference) -> tuple[str, str]:
    sign = "~" if d.was and d.now else "+" if d.now else "-"
    return sign, f"{d.name}: {d.was or 'none'} → {d.now or 'none'}"


def _block(heading: str, told: list[tuple[str, str]], width: int, paint: Paint) -> Iterator[str]:
    if not told:
        return
    yield ""
    yield paint(heading, "place")
    for sign, text in told:
        first, *more = wrapped(text, width - 8) or [""]
        yield f"  {sign:<5} {first}"
        yield from (f"{'':8}{line}" for line in more)


def _match(found: Adapted, match: Match) -> tuple[str, str]:
    if match.ground is None:
        return "?", f"{match.part}: open; {', '.join(match.candidates) or 'no part of its kind is left'}"
    if match.to is None:
        return "-", f"{match.part}: {found.unit} has none, by answer"
    if match.ground is Ground.ID:
        return "=", match.part
    return "~", f"{match.part} → {match.to}, by {match.ground}"


def _feeds(found: Adapted) -> Iterator[tuple[str, str]]:
    for feed in found.feeds:
        yield ("+" if feed.locked else "!"), f"{feed.told}; {_held(found, feed)}"


def _held(found: Adapted, feed: Feed) -> str:
    if not found.judgement.states:
        return "not known yet whether the draft isolates it"
    if not feed.isolators:
        return "NOT ISOLATED in the draft"
    locked = "locked" if feed.locked else "NOT LOCKED"
    plan = found.comparison.new.plan
    names = [plan.unit.parts[name].label if plan is not None else name for name in feed.isolators]
    return f"the draft isolates it by {', '.join(names)}, {locked}"


def _grouped(found: Iterable[Finding], answers: ReadOnly[str, str]) -> list[tuple[Finding, int]]:
    """What is open: questions on ways and on the unit, then those for an answer, then what a check finds.

    Findings of one rule at one place count as one, with how many they are.
    """
    groups: dict[tuple[str, str], list[Finding]] = {}
    for finding in found:
        own = finding.message if finding.rule == OPEN_QUESTION else str(finding.span or finding.file)
        groups.setdefault((finding.rule, own), []).append(finding)

    def weight(told: tuple[Finding, int]) -> tuple[bool, bool, bool]:
        first, _ = told
        return first.rule != OPEN_QUESTION, first.message in answers, first.level is not Level.ERROR

    return sorted(((group[0], len(group)) for group in groups.values()), key=weight)


def _open(finding: Finding, many: int, answers: ReadOnly[str, str]) -> tuple[str, str]:
    """A question ends with what an answers file calls it, a finding with its rule."""
    sign = "!" if finding.level is Level.ERROR else "?"
    place = finding.span or finding.file
    if finding.rule == OPEN_QUESTION:
        name = answers.get(finding.message)
        return sign, f"{place} {finding.message}{f' [answer: {name}]' if name else ''}"
    more = f", and {many - 1} more like it" if many > 1 else ""
    return sign, f"{place} {finding.message} [{finding.rule}{more}]"


def to_json(found: Adapted) -> str:
    """`{"procedure", "name", "source", "unit", "file", "draft", "parts", "ways", "units", "questions", …}`.

    `draft` is the text of the file; `verdicts`, `findings` and `counts` are as in the report of a check.
    """
    whole = {
        "procedure": found.procedure,
        "name": found.name,
        "source": found.source,
        "unit": found.unit,
        "file": found.file,
        "draft": found.text,
        "parts": [
            {
                "part": m.part,
                "to": m.to,
                "by": m.ground.value if m.ground is not None else None,
                "candidates": list(m.candidates),
            }
            for m in found.matches
        ],
        "ways": [
            {
                "energy": f.energy,
                "part": f.part,
                "way": f.told,
                "isolators": list(f.isolators),
                "locked": f.locked,
            }
            for f in found.feeds
        ],
        "units": [{"name": d.name, "was": d.was, "now": d.now} for d in found.differences],
        "questions": [
            {"name": q.name, "text": q.text, "choices": list(q.choices), "blocking": q.blocking}
            for q in found.questions
        ],
    }
    more = json.loads(findings_data(None, found.open, (found.judgement,)))
    del more["library"]
    return json.dumps(whole | more, indent=2, ensure_ascii=False) + "\n"

"""A procedure's file for another unit: parts renamed, what does not fit taken out, the rest left as written.

The file is not written anew: each change replaces one stretch of it, so that comments and layout stay.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.draft.adapt.naming import Kind, Place, places
from proctool.model.adapting import Match, Question
from proctool.model.document import Mapping, Node, Scalar, Sequence
from proctool.model.span import Span
from proctool.model.unit import Part, Unit

_NAMED = re.compile(r"<([A-Za-z0-9][A-Za-z0-9_-]*)(?=[.>])")
_TAG = re.compile(r"(?<![\w<.-])[A-Za-z]+[0-9]+(?![\w>-])")
"""A plain word that may be a tag: letters, then a number."""


@dataclass(frozen=True, slots=True)
class Rewrite:
    """One stretch of the file written anew."""

    span: Span
    text: str


@dataclass(frozen=True, slots=True)
class Cut:
    """Lines that are taken out, or kept as comments."""

    first: int
    last: int
    kept: str = ""
    """Why, where they are kept as comments."""


@dataclass(frozen=True, slots=True)
class Carried:
    """What is done to the file, and what it leaves open."""

    rewrites: tuple[Rewrite, ...]
    cuts: tuple[Cut, ...]
    questions: tuple[Question, ...]
    named: tuple[str, ...]
    """The parts of the first unit that the file names, in order."""


@dataclass(frozen=True, slots=True)
class Task:
    """A file to be carried over."""

    root: Mapping
    written: Callable[[Span], str]
    """What stands in a span of the file."""
    source: Unit
    target: Unit
    matches: ReadOnly[str, Match]
    answers: ReadOnly[str, str]
    name: str
    """The draft's own."""


def carry(task: Task) -> Carried:
    """All that is changed in a procedure's file so that it is for the second unit, and what stays open."""
    whole = tuple(places(task.root))
    cuts = tuple(dict.fromkeys((*_head_cuts(task), *_step_cuts(task, whole))))
    left = tuple(p for p in whole if not any(c.first <= p.scalar.span.line <= c.last for c in cuts))
    rewrites = (*_head(task), *_lists(task, left), *_renamed(task, left))
    questions = (
        *_parts(task, left),
        *_taken_out(task, whole, cuts),
        *_head_questions(task),
        *_tags(task, left),
        *_figures(task, cuts),
    )
    asked = {question.name: question for question in reversed(questions)}
    named = dict.fromkeys(part.id for place in whole for part in _parts_in(task, place))
    return Carried(
        tuple(dict.fromkeys(rewrites)),
        cuts,
        tuple(q for q in asked.values() if q.name not in task.answers or _gone(task, q))[::-1],
        tuple(named),
    )


def _gone(task: Task, question: Question) -> bool:
    """Whether an answer says no, so that the question stays."""
    return question.choices == ("yes",) and task.answers[question.name] != "yes"


# ---------------------------------------------------------------------------- parts


def _part(task: Task, name: str) -> Part | None:
    """The part of the first unit that an id or a tag names."""
    return task.source.parts.get(name) or task.source.tagged(name)


def _parts_in(task: Task, place: Place) -> Iterator[Part]:
    text = place.scalar.text
    names = [text] if place.kind is Kind.NAME else _NAMED.findall(text)
    yield from (part for name in names if (part := _part(task, name)) is not None)


def _nothing(task: Task, name: str) -> bool:
    """Whether an answer says that nothing stands for a part."""
    part = _part(task, name)
    return part is not None and (m := task.matches[part.id]).ground is not None and m.to is None


def _new_name(task: Task, name: str) -> str:
    """What a name of the first unit is on the second; the same where that is open or no part's."""
    part = _part(task, name)
    to = task.matches[part.id].to if part is not None else None
    if part is None or to is None:
        return name
    tag = task.target.parts[to].tag
    return tag if name == part.tag and name != part.id and tag is not None else to


def _renamed(task: Task, found: tuple[Place, ...]) -> Iterator[Rewrite]:
    for place in found:
        old = task.written(place.scalar.span)
        if place.kind is Kind.NAME:
            if place.among is not None and any(_nothing(task, n.text) for n in _scalars(place.among)):
                continue
            new = old.replace(place.scalar.text, _new_name(task, place.scalar.text))
        else:
            new = _NAMED.sub(lambda m: f"<{_new_name(task, m[1])}", old)
            new = _TAG.sub(lambda m: task.answers.get(f"tag {m[0]}", m[0]), new)
        if new != old:
            yield Rewrite(place.scalar.span, new)


def _lists(task: Task, found: tuple[Place, ...]) -> Iterator[Rewrite]:
    """Lists without the parts for which nothing stands."""
    for place in found:
        names = [n.text for n in _scalars(place.among)] if place.among is not None else []
        if place.among is not None and place.kind is Kind.NAME and any(_nothing(task, n) for n in names):
            left = dict.fromkeys(_new_name(task, n) for n in names if not _nothing(task, n))
            yield _instead(task, place.among, f"[{', '.join(left)}]")


def _step_cuts(task: Task, found: tuple[Place, ...]) -> Iterator[Cut]:
    """Steps that name nothing but a part for which nothing stands: kept as comments."""
    for place in found:
        gone = [part for part in _parts_in(task, place) if _nothing(task, part.id)]
        listed = place.among is not None and any(not _nothing(task, n.text) for n in _scalars(place.among))
        if gone and place.step is not None and not listed:
            first, last = _lines(place.step.span)
            yield Cut(first, last, f"{task.target.id} has no {gone[0].label}")


def _taken_out(task: Task, found: tuple[Place, ...], cuts: tuple[Cut, ...]) -> Iterator[Question]:
    """Steps kept as comments; one that names parts which the second unit has as well weighs more."""
    for place in found:
        cut = next((c for c in cuts if c.kept and c.first <= place.scalar.span.line <= c.last), None)
        gone = [part for part in _parts_in(task, place) if cut is not None and _nothing(task, part.id)]
        if cut is not None and gone:
            inside = (p for p in found if cut.first <= p.scalar.span.line <= cut.last)
            others = any(not _nothing(task, part.id) for p in inside for part in _parts_in(task, p))
            text = f"{cut.kept}, so steps that name it are comments now. Is nothing left to do in them?"
            span = Span(place.anchor.span.file, cut.first, 1, cut.first, 1)
            yield Question(f"without {gone[0].id}", text, span, ("yes",), blocking=others)


def _scalars(node: Sequence) -> tuple[Scalar, ...]:
    return tuple(item for item in node.items if isinstance(item, Scalar))


def _parts(task: Task, found: tuple[Place, ...]) -> Iterator[Question]:
    """Parts that are named and for which nothing is known to stand."""
    for place in found:
        for part in _parts_in(task, place):
            match = task.matches[part.id]
            if match.ground is None:
                could = [f"{name} ({task.target.parts[name].label})" for name in match.candidates]
                told = f"It could be {', '.join(could)}." if could else "No part of the same kind is left."
                text = f"What stands on {task.target.id} for the {part.label} of {task.source.id}? {told}"
                yield Question(f"part {part.id}", text, place.anchor.span, (*match.candidates, "none"))


# ---------------------------------------------------------------------------- the head


def _entry(task: Task, key: str) -> tuple[Scalar, Node] | None:
    return next(((name, value) for name, value in task.root if name.text == key), None)


def _head(task: Task) -> Iterator[Rewrite]:
    """The draft's own name, its unit, and what answers say of its head."""
    for key, text in (
        ("procedure", task.name),
        ("units", f"[{task.target.id}]"),
        ("number", _quoted(task.answers.get("number"))),
        ("time", _quoted(task.answers.get("time"))),
        ("revisions", _revision(task)),
    ):
        entry = _entry(task, key)
        if entry is not None and text is not None:
            yield _instead(task, entry[1], text)


def _instead(task: Task, node: Node, text: str) -> Rewrite:
    """A value written on one line; set in where dashes stood, which alone may stand right below their key."""
    dashes = task.written(node.span).startswith("-")
    return Rewrite(node.span, f" {text}" if dashes else text)


def _revision(task: Task) -> str | None:
    """The one revision of the draft, by the answers; None while these say neither who nor when."""
    by, date = task.answers.get("revision by"), task.answers.get("revision date")
    if by is None or date is None:
        return None
    why = task.answers.get("revision why", f"Adapted from {task.source.id}")
    said = {"number": "1", "date": date, "by": by, "why": why}
    return f"[{{{', '.join(f'{key}: {_quoted(value)}' for key, value in said.items())}}}]"


def _quoted(text: str | None) -> str | None:
    """A text as a value; in quotes where a bare one could be read otherwise."""
    if text is None or re.fullmatch(r"[\w][\w .·-]*[\w.]|\w", text):
        return text
    return json.dumps(text, ensure_ascii=False)


def _head_cuts(task: Task) -> Iterator[Cut]:
    """What was said of the first unit alone and must not be taken over."""
    answered = {"number": "number" in task.answers, "revisions": _revision(task) is not None}
    for key in ("number", "revisions", "inspections", "deviations"):
        entry = _entry(task, key)
        if entry is not None and not answered.get(key, False):
            first, _ = _lines(entry[0].span)
            yield Cut(first, _lines(entry[1].span)[1])


def _head_questions(task: Task) -> Iterator[Question]:
    source, target = task.source.id, task.target.id
    top = task.root.entries[0][0].span
    if _entry(task, "number") is not None:
        yield Question("number", "Which number has the new document?", top)
    if _entry(task, "revisions") is not None:
        yield Question("revision by", "Who issues it?", top)
        yield Question("revision date", "When was it issued (such as 2026-05-11)?", top)
    time, old = _entry(task, "time"), _entry(task, "deviations")
    if time is not None and isinstance(time[1], Scalar):
        text = f"How long does the work take on {target}? It takes {time[1].text} on {source}."
        yield Question("time", text, time[0].span, blocking=False)
    if old is not None:
        text = f"The deviations were granted for {source}, so they were taken out. Have each looked at anew."
        yield Question("deviations", text, top, ("yes",), blocking=False)


def _tags(task: Task, found: tuple[Place, ...]) -> Iterator[Question]:
    """Tags written as plain words that are not the same on the second unit."""
    for place in found:
        for tag in _TAG.findall(place.scalar.text) if place.kind is Kind.TEXT else ():
            part = task.source.tagged(tag)
            if part is None:
                continue
            to = task.matches[part.id].to
            new = task.target.parts[to].tag if to is not None else None
            if new != tag:
                there = f"the {task.target.parts[to].label}" if to is not None else "not known"
                told = f"`{tag}` is the {part.label} of {task.source.id}"
                text = f"{told}; on {task.target.id} that is {there}. What stands here instead?"
                yield Question(f"tag {tag}", text, place.anchor.span, (new,) if new else ())


def _figures(task: Task, cuts: tuple[Cut, ...]) -> Iterator[Question]:
    """Pictures, which no one can tell from here whether they show the second unit."""
    waiting: list[Node] = [task.root]
    while waiting:
        node = waiting.pop()
        if isinstance(node, Sequence):
            waiting += reversed(node.items)
        elif isinstance(node, Mapping):
            for key, value in reversed(node.entries):
                waiting.append(value)
                file = value.get("file") if key.text == "figure" and isinstance(value, Mapping) else None
                cut = any(c.first <= key.span.line <= c.last for c in cuts)
                if isinstance(file, Scalar) and not cut:
                    text = f"Does {file.text} show {task.target.id} as well as {task.source.id}?"
                    first = node.entries[0][0].span
                    yield Question(f"figure {file.text}", text, first, ("yes",), blocking=False)


def _lines(span: Span) -> tuple[int, int]:
    """The lines of a span; one that ends before the first sign of a line does not have that line."""
    return span.line, span.end_line - (span.end_column == 1 and span.end_line > span.line)

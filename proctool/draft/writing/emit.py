"""A draft as the text of a procedure file, in the style of a library written by hand."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from textwrap import wrap

from proctool.draft.writing.written import Deed, Entry, Fallback, Group, Task

WIDTH = 120
"""Columns of a line; longer texts are folded."""

_PLAIN = re.compile(r"[A-Za-z0-9<](?:[^\n:#]|:(?=\S)|(?<=\S)#)*")
"""Texts that YAML reads as they stand: no colon before a blank, no `#` after one, an ordinary first sign."""
_FLOW = re.compile(r"[,\[\]{}?:]")
"""Signs that end a text in an inline list or map."""
_INDENT = "  "


def scalar(text: str, *, inline: bool = False) -> str:
    """A text as YAML: as it stands where that is read back the same, else in single quotes."""
    plain = _PLAIN.fullmatch(text) and text == text.strip() and not text.endswith(":")
    if plain and not (inline and _FLOW.search(text)):
        return text
    return "'" + text.replace("'", "''") + "'"


def comment(lines: Sequence[str], indent: str) -> Iterator[str]:
    """Lines of comment, wrapped."""
    for line in lines:
        mark = f"{indent}# "
        yield from wrap(line, WIDTH, initial_indent=mark, subsequent_indent=mark, break_long_words=False)


def entries(steps: Sequence[Entry], indent: str = "") -> Iterator[str]:
    """The lines of a list of steps."""
    for step in steps:
        yield from comment(step.why, indent)
        lines = _group(step, indent) if isinstance(step, Group) else _task(step, indent)
        for number, line in enumerate(lines):
            yield f"{indent}{'  ' if number else '- '}{line[len(indent) + 2 :]}"


def _group(group: Group, indent: str) -> Iterator[str]:
    inner = indent + _INDENT
    if group.use:
        yield f"{inner}use: {scalar(group.use)}"
        if group.id != group.use:
            yield f"{inner}id: {scalar(group.id)}"
    else:
        yield f"{inner}id: {scalar(group.id)}"
        if group.title:
            yield from _text("title", group.title, inner)
        yield f"{inner}steps:"
        yield from entries(group.steps, inner + _INDENT)
    if group.otherwise is not None:
        yield from _fallback("otherwise", group.otherwise, inner)


def _task(task: Task, indent: str) -> Iterator[str]:
    inner = indent + _INDENT
    if task.text:
        yield from _text("check" if task.check else "do", task.text, inner)
    if task.wait:
        yield f"{inner}wait: {scalar(task.wait)}"
    if task.until is not None:
        gauge, reads = (scalar(word, inline=True) for word in task.until)
        yield f"{inner}until: {{gauge: {gauge}, reads: {reads}}}"
    if task.id:
        yield f"{inner}id: {scalar(task.id)}"
    yield from (inner + line for line in _deeds(task.deeds))
    if task.makes:
        made = ", ".join(f"{name}: {scalar(value, inline=True)}" for name, value in task.makes)
        yield f"{inner}makes: {{{made}}}"
    if task.using:
        yield f"{inner}using: {_listed(task.using)}"
    if task.lasts:
        yield f"{inner}for: {scalar(task.lasts)}"
    if task.otherwise is not None:
        yield from _fallback("otherwise", task.otherwise, inner)


def _deeds(deeds: Sequence[Deed]) -> Iterator[str]:
    """One key for each verb; the long form where a verb comes again after another."""
    verbs = [deed.verb for deed in deeds]
    together = {verb: [d for d in deeds if d.verb == verb] for verb in dict.fromkeys(verbs)}
    if verbs != [verb for verb, those in together.items() for _ in those]:
        yield "acts:"
        yield from (f"  - {{{_deed(d.verb, [d])}}}" for d in deeds)
        return
    for verb, those in together.items():
        yield _deed(verb, those)


def _deed(verb: str, deeds: Sequence[Deed]) -> str:
    (first, *others) = deeds
    if first.by and not others:
        return f"{verb}: {{part: {first.part}, by: {first.by}}}"
    return f"{verb}: {_listed([d.part for d in deeds])}"


def _listed(words: Sequence[str]) -> str:
    if len(words) == 1:
        return scalar(words[0])
    return f"[{', '.join(scalar(word, inline=True) for word in words)}]"


def _fallback(key: str, fallback: Fallback, indent: str) -> Iterator[str]:
    inner = indent + _INDENT
    short = f"{indent}{key}: {{end_here: {fallback.end_here}}}"
    fits = scalar(fallback.end_here, inline=True) == fallback.end_here and len(short) <= WIDTH
    if fallback.end_here and not fallback.steps and fits:
        yield short
        return
    yield f"{indent}{key}:"
    if fallback.steps:
        yield f"{inner}steps:"
        yield from entries(fallback.steps, inner + _INDENT)
    if fallback.back_to:
        yield f"{inner}back_to: {scalar(fallback.back_to)}"
        yield f"{inner}at_most: {fallback.at_most}"
        if fallback.then is not None:
            yield from _fallback("then", fallback.then, inner)
    elif fallback.end_here:
        yield from _text("end_here", fallback.end_here, inner)
    else:
        yield f"{inner}continue: true"


def _text(key: str, text: str, indent: str) -> Iterator[str]:
    line = f"{indent}{key}: {scalar(text)}"
    if len(line) <= WIDTH:
        yield line
        return
    yield f"{indent}{key}: >-"
    inner = indent + _INDENT
    yield from wrap(text, WIDTH, initial_indent=inner, subsequent_indent=inner, break_long_words=False,
                    break_on_hyphens=False)  # fmt: skip

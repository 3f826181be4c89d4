"""The file of a draft: changes made, open questions and findings as comments where they arise.

A comment stands above a step or a top key, never inside a text, so it changes nothing that the file says.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import replace

from proctool.draft.adapt.carry import Carried
from proctool.draft.adapt.naming import anchor_at
from proctool.fix.edit import Edit, apply
from proctool.fix.sheet import Sheet
from proctool.fix.sheet import read as read_sheet
from proctool.model.adapting import OPEN_QUESTION, Question
from proctool.model.finding import Finding, Level
from proctool.model.span import Span

_MARK = "# OPEN"
_WIDTH = 96


def marked(sheet: Sheet, carried: Carried, questions: Iterable[Question] = ()) -> str:
    """The draft with each question as a comment above the step, or the key, that it is about."""
    # Where several changes start at one sign they are made in this order: a question stands before its step.
    edits: list[Edit] = []
    notes: dict[int, list[str]] = {}
    for question in questions:
        notes.setdefault(question.span.line, []).append(f"{_MARK} {question.name}: {question.text}")
    for line, texts in notes.items():
        start = sheet.starts[line - 1]
        comments = "".join(_comment(sheet.line(line), text) for text in texts)
        edits.append(Edit(start, start, "", comments, ""))
    out = {line: cut.kept for cut in carried.cuts for line in range(cut.first, cut.last + 1)}
    for line, why in out.items():
        start = sheet.starts[line - 1]
        if why:
            head = "" if out.get(line - 1) == why else _comment(sheet.line(line), f"{why}:")
            edits.append(Edit(start, start, "", f"{head}# ", ""))
        else:
            end = sheet.starts[line] if line < len(sheet.starts) else len(sheet.text)
            edits.append(Edit(start, end, "", "", ""))
    edits += (
        Edit(*sheet.ends(rewrite.span), rewrite.text, rewrite.text, "")
        for rewrite in carried.rewrites
        if rewrite.span.line not in out
    )
    return apply(sheet.text, edits)


def noted(text: str, file: str, findings: Iterable[Finding]) -> tuple[str, tuple[Finding, ...]]:
    """The draft with what a check finds as comments too, and the findings at their places then."""
    sheet = read_sheet(file, text.encode(), {})
    findings = tuple(findings)
    if sheet is None or sheet.root is None:
        return text, findings
    notes: dict[int, dict[str, None]] = {}
    for finding in findings:
        if finding.file == file and finding.span is not None:
            line = anchor_at(sheet.root, finding.span.line).span.line
            notes.setdefault(line, {})[f"{_MARK} {finding.rule}: {finding.message}"] = None
    added = {line: "".join(_comment(sheet.line(line), note) for note in said) for line, said in notes.items()}
    edits = [Edit(start := sheet.starts[line - 1], start, "", said, "") for line, said in added.items()]

    def moved(finding: Finding) -> Finding:
        span = finding.span
        if finding.file != file or span is None:
            return finding
        more = sum(said.count("\n") for line, said in added.items() if line <= span.line)
        first, last = span.line + more, span.end_line + more
        return replace(finding, span=Span(file, first, span.column, last, span.end_column))

    return apply(text, edits), tuple(map(moved, findings))


def _comment(line: str, text: str) -> str:
    """A comment, indented as the line it stands above."""
    indent = line[: len(line) - len(line.lstrip())]
    first = "" if text.startswith("#") else "# "
    rows = textwrap.wrap(text, _WIDTH - len(indent), break_long_words=False, break_on_hyphens=False)
    return "".join(f"{indent}{first if n == 0 else '#   '}{row}\n" for n, row in enumerate(rows))


def placed(text: str, file: str, questions: Iterable[Question]) -> Iterator[Finding]:
    """Each question as a finding at its comment in the draft."""
    lines = text.splitlines()
    for question in questions:
        head = f"{_MARK} {question.name}:"
        places = (n for n, line in enumerate(lines, start=1) if _heads(line.strip(), head))
        place = next(places, 1)
        column = len(lines[place - 1]) - len(lines[place - 1].lstrip()) + 1
        span = Span(file, place, column, place, len(lines[place - 1]) + 1)
        level = Level.ERROR if question.blocking else Level.WARNING
        yield Finding(OPEN_QUESTION, level, question.text, file, span)


def _heads(line: str, head: str) -> bool:
    """Whether a line is the first of a comment with that head, which may be longer than the line."""
    return line.startswith(head) or (line.startswith(_MARK) and head.startswith(line) and line != _MARK)

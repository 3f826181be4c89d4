"""What the YAML parser stumbled over, in words for people who do not know YAML."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple, Protocol

import yaml

from proctool.model.finding import Finding, file_fault
from proctool.model.span import Span
from proctool.source.cuts import mend
from proctool.source.text import ending

_STARTS = {"scanning an alias": "*", "scanning an anchor": "&", "tag": "!", "block scalar": ">"}
_CUT_COMMENT = re.compile(r"[ \t]+#")
_FLOW = re.compile(r"flow (mapping|sequence)")
_CLOSERS = {"mapping": ("{", "}"), "sequence": ("[", "]")}


class _Mark(Protocol):
    """A place as the parser says it, from 0. The marks of libyaml and of PyYAML share no type."""

    @property
    def line(self) -> int: ...
    @property
    def column(self) -> int: ...


class _Place(NamedTuple):
    line: int
    column: int


def explain(file: str, lines: Sequence[str], error: yaml.YAMLError, last: yaml.ScalarEvent | None) -> Finding:
    """The finding for an error of the parser. `last` is the last scalar that was read before it."""
    problem = str(getattr(error, "problem", None) or "")
    context = str(getattr(error, "context", None) or "")
    at = _place(lines, getattr(error, "problem_mark", None))
    opened = _place(lines, getattr(error, "context_mark", None))
    rule, message, place = _sentence(lines, problem, context, at, opened, last)
    span = Span(file, place.line + 1, place.column + 1, place.line + 1, place.column + 2)
    return file_fault(rule, message, span)


def _sentence(
    lines: Sequence[str],
    problem: str,
    context: str,
    at: _Place,
    opened: _Place,
    last: yaml.ScalarEvent | None,
) -> tuple[str, str, _Place]:
    """Rule, message and place: the first reading that fits."""
    if "nesting" in problem:
        return "file/limit", "Maps and lists are nested too deep here. Write them flatter.", at
    return (
        _tab(lines, at, opened)
        or _start(lines, problem, context, at, opened)
        or _comment(lines, at, last)
        or _quote(problem, context, opened)
        or _colon(lines, problem, context, at, last)
        or _after_end(lines, problem, at, last)
        or _flow(lines, problem, context, at, opened)
        or _layout(lines, problem, context, at, opened)
        or ("file/yaml", f"This cannot be read as YAML: {problem or 'unknown fault'}."[:190], at)
    )


def _tab(lines: Sequence[str], *places: _Place) -> tuple[str, str, _Place] | None:
    for place in places:
        line = lines[place.line]
        indent = line[: len(line) - len(line.lstrip())]
        if "\t" in indent:
            spot = _Place(place.line, indent.index("\t"))
            return "file/yaml", "There is a tab here; indent with blanks, two for each level.", spot
    if _sign(lines, places[0]) == "\t":
        return "file/yaml", "There is a tab here; use blanks.", places[0]
    return None


def _start(
    lines: Sequence[str], problem: str, context: str, at: _Place, opened: _Place
) -> tuple[str, str, _Place] | None:
    sign = _sign(lines, at) if "cannot start any token" in problem else ""
    place = at
    for words, start in _STARTS.items():
        if words in context and _sign(lines, opened) in {start, "|"}:
            sign, place = _sign(lines, opened), opened
    if not sign:
        return None
    return "wording/cut-text", f"A text cannot start with `{sign}` like this{mend()}, or in quotes.", place


def _comment(
    lines: Sequence[str], at: _Place, last: yaml.ScalarEvent | None
) -> tuple[str, str, _Place] | None:
    """A ` #` behind the last text, with the rest of the text or the closing brace behind it."""
    if last is None or last.style or not last.value:
        return None
    end = _place(lines, last.end_mark)
    if not _CUT_COMMENT.match(lines[end.line][end.column :]) or at.line not in (end.line, end.line + 1):
        return None
    return (
        "wording/cut-text",
        f"The text is cut after `{ending(last.value)}`: ` #` starts a comment{mend()}.",
        end,
    )


def _quote(problem: str, context: str, opened: _Place) -> tuple[str, str, _Place] | None:
    if "quoted scalar" not in context and "double-quoted" not in context:
        return None
    if "end of stream" in problem or "document separator" in problem:
        return "file/yaml", "The quote that starts here is not closed.", opened
    return (
        "file/yaml",
        "A backslash in double quotes starts a code; one here is none. Use single quotes.",
        opened,
    )


def _colon(
    lines: Sequence[str], problem: str, context: str, at: _Place, last: yaml.ScalarEvent | None
) -> tuple[str, str, _Place] | None:
    if _sign(lines, at) != ":" or "document start" in problem:
        return None
    start, end = (
        (_place(lines, last.start_mark), _place(lines, last.end_mark)) if last else (at, _Place(-1, 0))
    )
    if end.line != at.line or lines[at.line][end.column : at.column].strip():
        return "file/yaml", "There is a value here without a key; expected `key: value`.", at
    if start.line == at.line and last and not last.style:
        text = lines[start.line][start.column : at.column]
        return "wording/cut-text", f"A colon cuts the text after `{ending(text)}`{mend()}.", at
    if _FLOW.search(context):
        return None
    message = f"A key cannot stand here: the value of line {start.line + 1} goes on until here."
    return "file/yaml", f"{message} Check the indentation, and that a blank follows each colon.", at


def _after_end(
    lines: Sequence[str], problem: str, at: _Place, last: yaml.ScalarEvent | None
) -> tuple[str, str, _Place] | None:
    """Text behind a closing quote or brace on the same line."""
    if last is None or not ("expected key" in problem or "block end" in problem or "indicator" in problem):
        return None
    before = lines[at.line][: at.column].rstrip()
    if not before or before[-1] not in "\"'}]" or before[-1] == before.strip():
        return None
    what = "quote" if before[-1] in "\"'" else "brace"
    return "wording/cut-text", f"The text goes on after the closing {what}{mend()}.", at


def _flow(
    lines: Sequence[str], problem: str, context: str, at: _Place, opened: _Place
) -> tuple[str, str, _Place] | None:
    kind = _FLOW.search(context)
    if kind is None:
        return None
    start, end = _CLOSERS[kind[1]]
    if opened.line == at.line and _sign(lines, at):
        return "file/yaml", f"Expected `,` or `{end}` here, inside `{start}…{end}`.", at
    where = f"expected `{end}` before line {at.line + 1}" if _rest(lines, at) else f"expected `{end}`"
    return "file/yaml", f"The `{start}` here is not closed: {where}.", opened


def _layout(
    lines: Sequence[str], problem: str, context: str, at: _Place, opened: _Place
) -> tuple[str, str, _Place] | None:
    """Lines that do not fit together."""
    if "simple key" in context or "expected ':'" in problem:
        return "file/yaml", "This line is no `key: value`; a blank must follow the colon.", opened
    if "node content" in problem:
        return "file/yaml", "A value is missing here.", at
    if "sequence entries" in problem:
        return "file/yaml", "A list cannot start here; put each `- ` on a line of its own.", at
    if "document start" in problem:
        return "file/yaml", "The map of this file ends before this; nothing may follow it.", at
    if "incompatible" in problem or "directive" in problem + context:
        return "file/yaml", "This line with `%` is not used here; take it away.", at
    if "block mapping" in context or "block collection" in context:
        message = f"This fits none of the maps and lists above it (one from line {opened.line + 1} is open)."
        return "file/yaml", f"{message} Check the indentation.", at
    return None


def _place(lines: Sequence[str], mark: _Mark | None) -> _Place:
    """A mark of the parser, held inside the file: at its end marks stand one line below the last."""
    if mark is None:
        return _Place(0, 0)
    line = min(mark.line, len(lines) - 1)
    column = mark.column if line == mark.line else len(lines[line])
    return _Place(line, min(column, len(lines[line])))


def _sign(lines: Sequence[str], place: _Place) -> str:
    return lines[place.line][place.column : place.column + 1]


def _rest(lines: Sequence[str], place: _Place) -> bool:
    """Whether anything follows a place."""
    return bool(lines[place.line][place.column :].strip()) or any(x.strip() for x in lines[place.line + 1 :])

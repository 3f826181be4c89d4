"""wording/cut-text: the whole sentence moved to the next line after `>-`, or in an inline map put in quotes.

Only where the rest of the line can be nothing but the rest of the sentence: behind a key that takes a text.
"""

from __future__ import annotations

import re

from proctool.fix.edit import Edit
from proctool.fix.sheet import Sheet
from proctool.model.document import Mapping, Scalar
from proctool.model.finding import Finding
from proctool.source.cuts import TEXT_KEYS
from proctool.source.yamltree import MAX_FINDINGS

_LINE = re.compile(r" *(?:- +)*(?P<key>[a-z_]+):[ \t]+(?P<text>\S.*?)[ \t]*")
_COMMENT = re.compile(r"(?:^|[ \t])#(?![0-9])")
"""What may be a comment; a number such as `#3` is none."""
_OPENING = tuple("\"'{[|>!&-?")
"""Signs at the start with which something else than a sentence may have been meant."""
_NAME = re.compile(r"[A-Za-z0-9_-]+")
_TOLD = "the sentence stands whole after `>-`"
_UNSURE = "how the sentence goes on is not sure"
TOO_MANY = "this file has too many such faults; put some right by hand first"


def fix(sheet: Sheet, finding: Finding) -> Edit | str | None:
    """The sentence at the place of a finding, whole."""
    if finding.span is None:
        return None
    whole = _in_flow(sheet, finding) or _to_the_end_of_the_line(sheet, finding.span.line)
    return whole or (TOO_MANY if sheet.root is None and len(sheet.faults) >= MAX_FINDINGS else _UNSURE)


def _to_the_end_of_the_line(sheet: Sheet, number: int) -> Edit | None:
    found = _LINE.fullmatch(sheet.line(number))
    if found is None or found["key"] not in TEXT_KEYS:
        return None
    text, column = found["text"], found.start("key")
    if text.startswith(_OPENING) or _COMMENT.search(text) or _goes_on(sheet, number, column):
        return None
    start = sheet.starts[number - 1] + found.start("text")
    end = sheet.starts[number - 1] + found.end()  # blanks at the end would count as text
    return Edit(start, end, text, f">-{sheet.line_break}{' ' * (column + 2)}{text}", _TOLD)


def _goes_on(sheet: Sheet, number: int, column: int) -> bool:
    """Whether the value of a line may go on below it."""
    for below in range(number + 1, len(sheet.starts) + 1):
        line = sheet.line(below)
        if line.strip():
            return len(line) - len(line.lstrip(" ")) > column
    return False


def _in_flow(sheet: Sheet, finding: Finding) -> Edit | None:
    """A sentence that commas cut into keys, as in `{do: Close it, and lock it}`."""
    for step in sheet.maps():
        at = next((i for i, (key, _) in enumerate(step.entries) if key.span == finding.span), None)
        if at is not None:
            return _quoted(sheet, step, at)
    return None


def _quoted(sheet: Sheet, step: Mapping, at: int) -> Edit | None:
    first = at
    while first > 0 and _bare(step, first):
        first -= 1
    last = at
    while last + 1 < len(step.entries) and _bare(step, last + 1):
        last += 1
    owner, text = step.entries[first]
    pieces = [key for key, _ in step.entries[first + 1 : last + 1]]
    if not pieces or owner.text not in TEXT_KEYS or not isinstance(text, Scalar) or not text.plain:
        return None
    if any(not key.plain or _NAME.fullmatch(key.text) for key in pieces):
        return None  # such a piece may be a key that lacks its value
    if text.span.line != pieces[-1].span.end_line:
        return None
    start, end = sheet.ends(text.span)[0], sheet.ends(pieces[-1].span)[1]
    whole = sheet.text[start:end]
    if _COMMENT.search(whole):
        return None
    quoted = "'" + whole.replace("'", "''") + "'"
    return Edit(start, end, whole, quoted, "the sentence stands whole in quotes")


def _bare(step: Mapping, at: int) -> bool:
    """Whether an entry is a key without a value."""
    value = step.entries[at][1]
    return isinstance(value, Scalar) and value.plain and not value.text

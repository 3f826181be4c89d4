"""graph/need-unsaid: `proven` added to what the step says it needs of the part it opens.

Taking the needs away would show the same, but it would take away what the writer said.
"""

from __future__ import annotations

from proctool.fix.edit import Edit, Value, replacing
from proctool.fix.sheet import Sheet
from proctool.model.document import Node, Scalar, Sequence
from proctool.model.finding import Finding

_WORD = "proven"


def fix(sheet: Sheet, finding: Finding) -> Edit | str | None:
    """The needs at the place of a finding, with `proven` at their end."""
    for step in sheet.maps():
        needs = step.get("needs")
        for key, said in needs if needs is not None and not isinstance(needs, Scalar | Sequence) else ():
            if any(word.span == finding.span for word in _words(said)):
                return _added(sheet, said, f"`{key.text}` needs `{_WORD}` too")
    return None


def _words(said: Node) -> tuple[Scalar, ...]:
    items = said.items if isinstance(said, Sequence) else (said,)
    return tuple(item for item in items if isinstance(item, Scalar))


def _added(sheet: Sheet, said: Node, told: str) -> Edit:
    value: Value = (*(word.text for word in _words(said)), _WORD)
    if not isinstance(said, Sequence):
        return replacing(sheet, said.span, value, f"[{sheet.written(said.span)}, {_WORD}]", told)
    start, end = sheet.ends(said.span)
    last = sheet.ends(said.items[-1].span)[1]
    if sheet.text[start] == "[":
        text = f"{sheet.text[start:last]}, {_WORD}{sheet.text[last:end]}"
        return Edit(start, end, value, text, told)
    line_end = sheet.starts[said.span.end_line - 1] + len(sheet.line(said.span.end_line))
    indent = " " * (said.span.column - 1)
    added = f"{sheet.text[start:line_end]}{sheet.line_break}{indent}- {_WORD}"
    return Edit(start, line_end, value, added, told)

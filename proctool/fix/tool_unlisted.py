"""content/tool-unlisted: a tool named in the library's very words is named by its `<name>`, which lists it.

The manual reads the same as before. Where the words are not those of one tool of the library, whoever wrote
them must say which is meant.
"""

from __future__ import annotations

import re

from proctool.fix.edit import Edit, replacing
from proctool.fix.sheet import Sheet
from proctool.model.document import Mapping, Scalar
from proctool.model.finding import Finding

_UNSURE = "which of the library's tools is meant is not sure; name it with `<…>`"


def fix(sheet: Sheet, finding: Finding) -> Edit | str | None:
    """The text of the step at the place of a finding, with the tool's `<name>` for its words."""
    step = next((m for m in sheet.maps() if m.entries and m.entries[0][0].span == finding.span), None)
    text = _text(step) if step is not None else None
    if text is None:
        return None
    old = sheet.written(text.span)
    named = [(name, label) for name, label in sheet.tools.items() if len(_said(label, text.text)) == 1]
    longest = max((len(label) for _, label in named), default=0)
    named = [(name, label) for name, label in named if len(label) == longest]
    if len(named) != 1 or len(_said(named[0][1], old)) != 1:
        return _UNSURE
    name, label = named[0]
    words = _pattern(label)
    value, new = (words.sub(lambda _: f"<{name}>", piece) for piece in (text.text, old))
    return replacing(sheet, text.span, value, new, f"`{label}` → `<{name}>`")


def _text(step: Mapping) -> Scalar | None:
    """The sentence of a step."""
    said = next((value for key in ("do", "check", "read") if (value := step.get(key)) is not None), None)
    said = said.get("what") if isinstance(said, Mapping) else said
    return said if isinstance(said, Scalar) else None


def _pattern(label: str) -> re.Pattern[str]:
    """The words of a tool, alone: no piece of a longer word, nor inside a `<name>`."""
    return re.compile(rf"(?<![\w<.-]){re.escape(label)}(?![\w>-])")


def _said(label: str, text: str) -> list[str]:
    return _pattern(label).findall(text)

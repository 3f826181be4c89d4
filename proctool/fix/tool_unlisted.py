"""content/tool-unlisted: a tool named in the library's very words is named by its `<name>`, which lists it.

The manual reads the same as before. Where the words are not exactly those of one tool of the library (a
`13 mm spanner` where it has a `spanner`), whoever wrote them must say which is meant.
"""

from __future__ import annotations

import re

from proctool.fix.edit import Edit, replacing
from proctool.fix.sheet import Sheet
from proctool.model.document import Mapping, Scalar
from proctool.model.finding import Finding

_UNSURE = "which of the library's tools is meant is not sure; name it with `<…>`"
_QUOTED = re.compile("`([^`]+)`")
"""What a finding quotes first is the noun."""
_BEFORE = r"\b(?P<before>(?:with|a|an|the|your)\s+)"
_BEHIND = (
    r"(?=\s*(?:[.,;:!?)'\"]|$)|\s+(?:and|or|to|on|in|into|at|from|for|under|until|while|before|after)\b)"
)
"""A tool's words stand between an article and a sign or a small word, or they are part of longer ones."""


def fix(sheet: Sheet, finding: Finding) -> Edit | str | None:
    """The text of the step at the place of a finding, with the tool's `<name>` for its words."""
    step = next((m for m in sheet.maps() if m.entries and m.entries[0][0].span == finding.span), None)
    text = _text(step) if step is not None else None
    noun = _QUOTED.search(finding.message)
    if text is None or noun is None:
        return _UNSURE
    written = sheet.written(text.span)
    named = [
        (name, label)
        for name, label in sheet.tools.items()
        if noun[1].lower() in label.lower() and len(_words(label).findall(text.text)) == 1
    ]
    if len(named) != 1 or len(_words(named[0][1]).findall(written)) != 1:
        return _UNSURE
    name, label = named[0]
    value, new = (
        _words(label).sub(lambda found: f"{found['before']}<{name}>", said) for said in (text.text, written)
    )
    return replacing(sheet, text.span, value, new, f"`{label}` → `<{name}>`")


def _text(step: Mapping) -> Scalar | None:
    """The sentence of a step."""
    said = next((value for key in ("do", "check", "read") if (value := step.get(key)) is not None), None)
    said = said.get("what") if isinstance(said, Mapping) else said
    return said if isinstance(said, Scalar) else None


def _words(label: str) -> re.Pattern[str]:
    return re.compile(_BEFORE + re.escape(label) + _BEHIND)

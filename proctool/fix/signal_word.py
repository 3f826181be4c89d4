"""file/schema, of a signal word in other letters only: `word: Warning` becomes `word: warning`."""

from __future__ import annotations

from proctool.fix.edit import Edit, replacing
from proctool.fix.sheet import Sheet, rewritten
from proctool.model.document import Scalar
from proctool.model.finding import Finding

SIGNAL_WORDS = frozenset({"danger", "warning", "caution", "notice"})
_FIELDS = frozenset({"word", "hazard", "harm", "avoid"})
"""The keys of a safety message; a map with any other key is none."""


def fix(sheet: Sheet, finding: Finding) -> Edit | str | None:
    """The signal word at the place of a finding, in small letters."""
    for message in sheet.maps():
        word = message.get("word")
        if word is None or word.span != finding.span or not isinstance(word, Scalar):
            continue
        right = word.text.lower()
        if right == word.text or right not in SIGNAL_WORDS or not {key.text for key, _ in message} <= _FIELDS:
            return None
        text = rewritten(sheet, word, right)
        if text is not None:
            return replacing(sheet, word.span, right, text, f"`{word.text}` → `{right}`")
    return None

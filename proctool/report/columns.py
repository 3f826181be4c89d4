"""Text in the columns of a terminal: wide signs take two, marks none, and none of it steers the terminal."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

_PIECES = re.compile(r"[ -\u10ff\u2010-\u205e]+|.")
"""What stays together in a word: signs of scripts with blanks, quotes too. Others may be parted anywhere."""


@lru_cache(maxsize=4096)
def _columns(sign: str) -> int:
    if unicodedata.category(sign) in {"Mn", "Me", "Cf"}:
        return 0
    return 2 if unicodedata.east_asian_width(sign) in {"W", "F"} else 1


def columns(text: str) -> int:
    """How many columns a text takes (East Asian Width, Unicode Standard Annex 11)."""
    return len(text) if text.isascii() else sum(map(_columns, text))


def harmless(text: str) -> str:
    """A text on one line, without signs that steer a terminal or cannot be seen."""
    return "".join(sign if sign.isprintable() else " " if sign.isspace() else "\ufffd" for sign in text)


def wrapped(text: str, width: int) -> list[str]:
    """A text in lines of at most `width` columns; a word that is longer stands alone."""
    lines, line = [], ""
    for word in harmless(text).split():
        gap = " "
        for piece in _PIECES.findall(word):
            if line and columns(line + gap + piece) > width:
                lines.append(line)
                line = piece
            else:
                line += gap + piece if line else piece
            gap = ""
    return [*lines, line] if line else lines


def padded(text: str, width: int) -> str:
    """A text filled up with blanks to a width."""
    return text + " " * (width - columns(text))


def around(line: str, place: int, width: int) -> tuple[str, int]:
    """The part of a line around a place that fits, and how many columns stand before the place in it.

    `place` counts signs from 0. Leading blanks are left out; what else is left out is marked by `…`.
    """
    shown = harmless(line).rstrip()
    place = min(place, len(shown))
    before, after = shown[:place].lstrip(), shown[place:]
    if columns(before) > width // 3 and columns(before) + columns(after) > width:
        before = "…" + _beginning(before[::-1], width // 3)[::-1]
    room = width - columns(before)
    if columns(after) > room:
        after = _beginning(after, room - 1) + "…"
    return before + after, columns(before)


def _beginning(text: str, width: int) -> str:
    """As much of a text as fits."""
    left = width
    for place, sign in enumerate(text):
        left -= _columns(sign)
        if left < 0:
            return text[:place]
    return text

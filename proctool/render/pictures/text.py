"""How wide a text is at most, and where its lines break: nothing is cut, whatever the reader's font.

A page is read with the fonts of the reader's machine, so widths are bounds: those of DejaVu Sans, one of the
widest text fonts in use, rounded up, and generous guesses where a script is drawn by another font.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from functools import lru_cache

_ASCII = (
    *(32, 41, 46, 84, 64, 96, 78, 28, 40, 40, 50, 84, 32, 37, 32, 34, 64, 64, 64, 64, 64, 64, 64, 64, 64, 64),
    *(
        34,
        34,
        84,
        84,
        84,
        54,
        100,
        69,
        69,
        70,
        78,
        64,
        58,
        78,
        76,
        30,
        30,
        66,
        56,
        87,
        75,
        79,
        61,
        79,
        70,
        64,
    ),
    *(62, 74, 69, 99, 69, 62, 69, 40, 34, 40, 84, 50, 50, 62, 64, 55, 64, 62, 36, 64, 64, 28, 28, 58, 28, 98),
    *(64, 62, 64, 64, 42, 53, 40, 64, 60, 82, 60, 60, 53, 64, 34, 64, 84),
)
"""Advance of each character from the space on, in hundredths of the font size."""
_BOLD = 1.22
"""A bold word is wider by no more than this."""
_WIDE, _CAPITAL, _OTHER = 105, 100, 90
HYPHEN = "-"
_FEWEST = 3
"""Letters of a broken word on its last line."""
LINE = 1.25
"""From base line to base line, in font sizes."""


def measure(text: str, size: float, *, bold: bool = False) -> float:
    """The most room a line of text takes."""
    return sum(_advance(char) for char in text) * size / 100 * (_BOLD if bold else 1)


def wrap(text: str, width: float, size: float, *, bold: bool = False) -> tuple[str, ...]:
    """The lines of a text, none wider than `width`; a word that is wider itself is broken with a hyphen."""
    lines: list[str] = []
    line = ""
    for word in text.split():
        longer = f"{line} {word}" if line else word
        if measure(longer, size, bold=bold) <= width:
            line = longer
            continue
        if line:
            lines.append(line)
        *whole, line = _broken(word, width, size, bold=bold)
        lines += whole
    return (*lines, line) if line else tuple(lines)


def rightward(text: str) -> bool:
    """Whether a text runs from right to left: its first letter with a direction does (UAX #9, rule P2)."""
    strong = (unicodedata.bidirectional(char) for char in text)
    return next((kind in {"R", "AL"} for kind in strong if kind in {"L", "R", "AL"}), False)


def _broken(word: str, width: float, size: float, *, bold: bool) -> list[str]:
    """The pieces of a word, each but the last with a hyphen where it ends between two letters.

    A single character that leaves no room for its hyphen stands without.
    """
    clusters = _clusters(word)
    pieces: list[str] = []
    start = 0
    while start < len(clusters):
        end = start + 1
        while end < len(clusters):
            longer = _piece(clusters, start, end + 1)
            if measure(longer, size, bold=bold) > width:
                break
            end += 1
        if 0 < len(clusters) - end < _FEWEST < end - start:
            end = len(clusters) - _FEWEST  # no lone letter on the last line
        piece = _piece(clusters, start, end)
        fits = measure(piece, size, bold=bold) <= width
        pieces.append(piece if fits else "".join(clusters[start:end]))
        start = end
    return pieces


def _piece(clusters: Sequence[str], start: int, end: int) -> str:
    between = end < len(clusters) and all(_cased(one) for one in clusters[end - 1 : end + 1])
    return "".join(clusters[start:end]) + (HYPHEN if between else "")


def _cased(cluster: str) -> bool:
    """Whether it is a letter of a script that hyphenates: one that has small and capital letters."""
    return cluster[0].lower() != cluster[0].upper()


def _clusters(word: str) -> list[str]:
    """Characters with the marks that stand on them."""
    found: list[str] = []
    for char in word:
        if found and unicodedata.category(char) in {"Mn", "Me", "Mc", "Cf"}:
            found[-1] += char
        else:
            found.append(char)
    return found


@lru_cache(maxsize=4096)
def _advance(char: str) -> int:
    first = unicodedata.normalize("NFD", char)[0]
    if " " <= first <= "~":
        return _ASCII[ord(first) - 32]
    category = unicodedata.category(char)
    if category in {"Mn", "Me", "Cf", "Cc"}:
        return 0
    if unicodedata.east_asian_width(char) in {"W", "F"}:
        return _WIDE
    return _CAPITAL if category in {"Lu", "Lt"} else _OTHER

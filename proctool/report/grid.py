"""A table of numbers in the columns of a terminal, or as comma-separated values."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from proctool.report import spreadsheet
from proctool.report.columns import columns, padded, wrapped

_GAP = "  "
_TITLE = 16
"""Columns that a title may take before it is wrapped."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column; those side by side with one title are under one head."""

    title: str
    measure: str
    cells: tuple[str, ...]
    lead: bool
    """Whether it names the row."""
    words: bool
    """Whether it holds words about numbers."""


def to_text(every: Sequence[Column], width: int) -> list[str]:
    """The table; one that is wider than `width` in pieces, each with the columns that name the row."""
    leads, others = [c for c in every if c.lead], [c for c in every if not c.lead]
    if _fits(every, width) or not others:
        return _piece(every)
    pieces: list[list[Column]] = [[]]
    for column in others:
        if pieces[-1] and not _fits([*leads, *pieces[-1], column], width):
            pieces.append([])
        pieces[-1].append(column)
    lines: list[str] = []
    for piece in pieces:
        lines += [*([""] if lines else []), *_piece([*leads, *piece])]
    return lines


def to_csv(every: Sequence[Column]) -> str:
    """A head, then a line for each row (RFC 4180); no cell that a spreadsheet would run."""
    head = (f"{c.title} [{c.measure}]" if c.measure else c.title for c in every)
    return spreadsheet.to_csv((head, *zip(*(column.cells for column in every), strict=True)))


def _fits(every: Sequence[Column], width: int) -> bool:
    return all(columns(line) <= width for line in _piece(every))


def _piece(every: Sequence[Column]) -> list[str]:
    """Heads, measures, a rule, and the rows. Numbers stand at the right, words at the left."""
    groups = [list(group) for _, group in groupby(every, key=lambda column: column.title)]
    own, wide = zip(*(widths for group in groups for widths in _widths(group)), strict=True)
    heads: list[list[str]] = []
    at = 0
    for group in groups:
        room = sum(wide[at : at + len(group)]) + len(_GAP) * (len(group) - 1)
        left = group[0].words or len(group) > 1
        heads.append([_placed(line, room, left=left) for line in wrapped(group[0].title, room)])
        at += len(group)
    high = max(map(len, heads), default=0)
    filled = [[" " * columns(h[0])] * (high - len(h)) + h for h in heads]
    lines = [_GAP.join(row) for row in zip(*filled, strict=True)]
    if any(column.measure for column in every):
        lines.append(_row([column.measure for column in every], every, own, wide))
    lines.append(_GAP.join("─" * width for width in wide))
    rows = zip(*(column.cells for column in every), strict=True)
    return [line.rstrip() for line in (*lines, *(_row(row, every, own, wide) for row in rows))]


def _widths(group: Sequence[Column]) -> Iterator[tuple[int, int]]:
    """The width of each column of a head, and with the room for the title, which the last one makes."""
    widths = [max(map(columns, (column.measure, *column.cells))) for column in group]
    title = group[0].title
    longest = max(map(columns, title.split()), default=0)
    room = max(longest, min(columns(title), _TITLE))
    last = widths.pop()
    wide = max(last, room - sum(widths) - len(_GAP) * len(widths))
    yield from ((width, width) for width in widths)
    yield (last, wide) if widths else (wide, wide)


def _row(cells: Sequence[str], every: Sequence[Column], own: Sequence[int], wide: Sequence[int]) -> str:
    placed = (_placed(cell, width, left=c.words) for cell, width, c in zip(cells, own, every, strict=True))
    return _GAP.join(padded(cell, width) for cell, width in zip(placed, wide, strict=True))


def _placed(text: str, width: int, *, left: bool) -> str:
    return padded(text, width) if left else " " * (width - columns(text)) + text

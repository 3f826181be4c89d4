"""A due table drawn: one reading across, the reading that decides upwards, and the four bands between.

Each row of the table is a column as wide as the readings for which that row counts, so that the picture says
what the table says. Where no row surely counts between two rows, the work counts as due.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from proctool.model.rows import AnswerCell, AnswerColumn, Due, Row, Table, Way
from proctool.render.pictures import plot_words
from proctool.render.pictures.picture import (
    PAGE,
    Box,
    Group,
    Mark,
    Path,
    Picture,
    Rect,
    hatching,
    lines,
    path,
    tall,
)
from proctool.render.pictures.text import measure, wrap
from proctool.render.speech import say
from proctool.render.table_words import titled
from proctool.render.tables import number
from proctool.render.words import commas

_SIZE, _SMALL = 10.5, 9.5
_HIGH = 200.0
"""Height of a panel."""
_EDGE = 8.0
"""Right of a panel."""
_TICKS = 6
"""Steps on the upright scale, about."""
_HATCH = {"unsure": True, "soon": False}
"""Which bands are hatched, and whether both ways."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A column of the plot, in shares of its width, and the row of the table that counts there."""

    start: float
    end: float
    cell: AnswerCell | None
    """None between two rows where none surely counts."""


@dataclass(frozen=True, slots=True)
class Frame:
    """Where a panel stands, and what its upright scale spans."""

    box: Box
    low: Fraction
    high: Fraction

    def y(self, value: Fraction) -> float:
        """The height of a value; what is off the scale stands at its end."""
        inside = min(max(value, self.low), self.high)
        share = float((inside - self.low) / (self.high - self.low))
        return self.box.bottom - share * (self.box.bottom - self.box.top)


def table_plots(table: Table, *, width: float = PAGE) -> tuple[Picture, ...]:
    """A picture for each answer of a table by which work is due.

    With several readings it has a panel for each combination of all but the one that has most values.
    """
    return tuple(
        _plot(table, place, answer, width)
        for place, answer in enumerate(table.answers)
        if answer.due is not None and table.rows
    )


def _plot(table: Table, place: int, answer: AnswerColumn, width: float) -> Picture:
    across = max(
        range(len(table.readings)), key=lambda n: len({row.readings[n].shown.value for row in table.rows})
    )
    reading = table.readings[across]
    low, high = _span(answer, [row.answers[place] for row in table.rows])
    upright = f"{titled(answer)}{', ' + answer.measure if answer.measure else ''}"
    level = f"{titled(reading)}{', ' + reading.measure if reading.measure else ''}"
    ticks = _ticks(low, high)
    left = max(measure(text, _SMALL) for _, text in ticks) + 10
    marks: list[Mark] = []
    at = 2.0
    for said, rows in _panels(table, across):
        head = (wrap(upright, width, _SIZE, bold=True), wrap(said, width, _SIZE))
        for texts, bold in zip(head, (True, False), strict=True):
            marks += lines(texts, 0, at, _SIZE, anchor="start", bold=bold)
            at += tall(len(texts), _SIZE)
        frame = Frame(Box(left, at + 8, width - _EDGE, at + 8 + _HIGH), low, high)
        columns, middles = _stretches(rows, across, place, answer, reading.step)
        marks += _panel(frame, columns, answer)
        marks += _scale(frame, ticks)
        at = frame.box.bottom + 6
        named = [number(row.readings[across].shown) for row in rows]
        marks += _readings(frame, list(zip(middles, named, strict=True)), at)
        at += tall(1, _SMALL) + 4
        texts = wrap(level, width - left, _SIZE, bold=True)
        marks += lines(texts, (left + width) / 2, at, _SIZE, bold=True)
        at += tall(len(texts), _SIZE) + 14
    keys, at = _legend(width, at)
    return Picture(
        kind="table-plot",
        title=plot_words.title(table, answer, reading),
        told=plot_words.told(answer, reading),
        entries=plot_words.entries(table, place, answer),
        width=width,
        height=at,
        marks=(*marks, *keys),
    )


def _panels(table: Table, across: int) -> list[tuple[str, list[Row]]]:
    """The rows for each combination of the other readings, with what they read; by the reading across."""
    found: dict[tuple[Fraction, ...], tuple[str, list[Row]]] = {}
    for row in table.rows:
        others = [n for n in range(len(table.readings)) if n != across]
        key = tuple(row.readings[n].shown.value for n in others)
        said = commas(f"{titled(table.readings[n])} {row.readings[n].shown}" for n in others)
        found.setdefault(key, (said, []))[1].append(row)
    return [
        (said, sorted(rows, key=lambda row: row.readings[across].shown.value))
        for said, rows in found.values()
    ]


def _span(answer: AnswerColumn, cells: Sequence[AnswerCell]) -> tuple[Fraction, Fraction]:
    """From where to where the upright scale goes: past all edges, but not past the gauge's own scale."""
    values = [cell.shown.value for cell in cells]
    for cell in cells:
        if cell.edges is not None:
            edges = (cell.edges.sure, cell.edges.open, cell.edges.soon)
            values += (edge.value for edge in edges if edge is not None)
    room = (max(values) - min(values)) / 4 or abs(max(values)) / 4 or Fraction(1)
    low, high = min(values) - room, max(values) + room
    gauge = answer.gauge
    if gauge is not None and gauge.measure == answer.measure:
        low = low if gauge.low is None else max(low, gauge.low)
        high = high if gauge.high is None else min(high, gauge.high)
    return (low, high) if low < high else (min(values) - 1, max(values) + 1)


def _ticks(low: Fraction, high: Fraction) -> list[tuple[Fraction, str]]:
    """Round values on the upright scale, each with its text."""
    rough = (high - low) / _TICKS
    step = next(
        Fraction(digit) * Fraction(10) ** power
        for power in range(-12, 13)
        for digit in (1, 2, 5)
        if Fraction(digit) * Fraction(10) ** power >= rough
    )
    first = -(-low // step)
    places = next(n for n in range(13) if (step * 10**n).denominator == 1)
    found = []
    while first * step <= high:
        value = first * step
        text = f"{Decimal(int(value * 10**places)).scaleb(-places):f}".replace("-", "\N{MINUS SIGN}")
        found.append((value, text))
        first += 1
    return found


def _stretches(
    rows: Sequence[Row], across: int, place: int, answer: AnswerColumn, step: Fraction | None
) -> tuple[list[Stretch], list[float]]:
    """The columns of a panel from left to right, and where the reading of each row stands.

    They fill the whole width: paper beside them would look like a band.
    """
    cells = [row.answers[place] for row in rows]
    way = answer.nearby[across] if across < len(answer.nearby) else None
    if step is None or len(rows) == 1:
        count = len(rows)
        even = [Stretch(n / count, (n + 1) / count, cell) for n, cell in enumerate(cells)]
        return even, [(n + 0.5) / count for n in range(count)]
    at = [row.readings[across].shown.value for row in rows]
    edge = (at[1] - at[0]) / 4
    if way is Way.UP:
        ends = [at[0] - edge, *at]
        shown: list[AnswerCell | None] = [*cells]
    elif way is Way.DOWN:
        ends = [*at, at[-1] + edge]
        shown = [*cells]
    else:
        ends = [end for value in at for end in (value - edge, value + edge)]
        shown = [cell for row_cell in cells for cell in (row_cell, None)][:-1]
    whole = ends[-1] - ends[0]
    shares = [float((end - ends[0]) / whole) for end in ends]
    columns = [Stretch(a, b, cell) for (a, b), cell in zip(pairwise(shares), shown, strict=True)]
    return columns, [float((value - ends[0]) / whole) for value in at]


def _panel(frame: Frame, columns: Sequence[Stretch], answer: AnswerColumn) -> Iterator[Mark]:
    """The bands of a panel, the lines between them, and its frame."""
    box = frame.box
    wide = box.right - box.left
    for column in columns:
        left, right = box.left + column.start * wide, box.left + column.end * wide
        heights = _heights(frame, answer, column.cell)
        inside = [
            mark
            for paint, (one, other) in zip(plot_words.BANDS, pairwise(heights), strict=True)
            for mark in _band(paint, Box(left, min(one, other), right, max(one, other)))
        ]
        inside += (Path(path((left, y), (right, y)), "stroke-soft") for y in dict.fromkeys(heights[1:-1]))
        yield Group("column", tuple(inside))
    yield Rect(box.left, box.top, wide, box.bottom - box.top, "stroke-soft")


def _heights(frame: Frame, answer: AnswerColumn, cell: AnswerCell | None) -> tuple[float, ...]:
    """Where the four bands begin and end, from due to not due."""
    less = answer.due is Due.OR_LESS
    start, end = (frame.box.bottom, frame.box.top) if less else (frame.box.top, frame.box.bottom)
    if cell is None:
        return start, end, end, end, end
    edges = cell.edges
    if edges is None:
        return start, start, end, end, end
    sure = frame.y(edges.sure.value)
    if edges.open is None or edges.soon is None:
        return start, sure, end, end, end
    return start, sure, frame.y(edges.open.value), frame.y(edges.soon.value), end


def _band(paint: str, box: Box) -> Iterator[Mark]:
    if box.bottom - box.top < 0.05:
        return
    yield Rect(box.left, box.top, box.right - box.left, box.bottom - box.top, paint)
    if paint in _HATCH:
        yield Path(hatching(box, 9, crossed=_HATCH[paint]), "hatch")


def _scale(frame: Frame, ticks: Sequence[tuple[Fraction, str]]) -> Iterator[Mark]:
    box = frame.box
    for value, text in ticks:
        y = frame.y(value)
        yield Path(path((box.left - 4, y), (box.left, y)), "stroke-soft")
        yield from lines((text,), box.left - 6, y - _SMALL * 0.62, _SMALL, anchor="end")


def _readings(frame: Frame, named: Sequence[tuple[float, str]], at: float) -> Iterator[Mark]:
    """The readings of the rows under a panel; of many only as many as stand clear of one another."""
    box = frame.box
    last = 0.0
    for x, text in named:
        half = measure(text, _SMALL) / 2
        exact = box.left + x * (box.right - box.left)
        middle = min(max(exact, half), box.right + _EDGE - half)
        if middle - half > last:
            yield Path(path((exact, box.bottom), (exact, box.bottom + 4)), "stroke-soft")
            yield from lines((text,), middle, at, _SMALL)
            last = middle + half + 6


def _legend(width: float, at: float) -> tuple[list[Mark], float]:
    marks: list[Mark] = []
    x = 1.0
    for paint, (name, _) in plot_words.BANDS.items():
        word = say(name)
        wide = 30 + measure(word, _SIZE) + 16
        if x > 1 and x + wide > width:
            x, at = 1.0, at + 22
        marks += _band(paint, Box(x, at, x + 24, at + 14))
        marks.append(Rect(x, at, 24, 14, "stroke-soft"))
        marks += lines((word,), x + 30, at, _SIZE, anchor="start")
        x += wide
    return marks, at + 22

"""What a pair of readings says of a due table: due, soon, not due, or that the gauges cannot tell.

The words for a table that is due at its answer *or less*; for *or more* the scale is turned round. Let f be
the formula, x the readings and y the reading of the answer's gauge, each with the error of its gauge there
(its accuracy and half a division). The *printed limit* is the answer of the table at x: moved by `guard`,
rounded.

- **due**: every true y that the gauge allows is at or below f of every true x that the gauges allow. Where no
  gauge has an error, a y down to the printed limit is due too, since the table calls for the work there.
- **cannot tell**: not due, and y is not past the far edge. The far edge is the printed limit, or the last y
  whose true value may still be at or below f of some true x, whichever calls sooner.
- **soon**: past the far edge by at most `soon`; where the table says none, by the error of all gauges
  together (how far `guard` moves the limit at x), at least one step of the rounding.
- **not due**: further past it.

So a reading at which the printed table calls for the work is never *soon* or *not due*, and a *not due* is
certain. Where the error of a gauge is unknown a y down to the printed limit is *due*, any other *cannot
tell*. Off the scale of a gauge the answer is always *cannot tell*. Readings are never rounded before they are
compared (the absolute method of ASTM E29; from memory).
"""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from fractions import Fraction

from proctool.model.quantity import Quantity
from proctool.model.quantity import dimension as kind_of
from proctool.model.rows import AnswerColumn, Band, Due, Gauge, ReadingColumn, Table
from proctool.tables.cells import column_edges, printed
from proctool.tables.dimension import base_value, factor, from_base, to_base
from proctool.tables.expression import FormulaFault
from proctool.tables.formula import parse
from proctool.tables.gauges import error_at, stretches
from proctool.tables.interval import Interval
from proctool.tables.limits import BandEdges, Limits, limits

_WORST = (Band.DUE, Band.CANNOT_TELL, Band.SOON, Band.NOT_DUE)


def due_answer(table: Table, readings: ReadOnly[str, Quantity]) -> Band | str:
    """What readings say: one for each reading and each due answer of the table, by their names.

    Of several due answers the worst counts: due, cannot tell, soon, not due. In plain words why it cannot be
    said where the table is not a due table, a reading is missing, of another kind, or the formula gives
    nothing there; never raises.
    """
    due = [column for column in table.answers if column.due is not None]
    if not due:
        return "This table does not say when work is due."
    at: dict[str, Fraction] = {}
    off_scale = False
    columns: tuple[ReadingColumn | AnswerColumn, ...] = (*table.readings, *due)
    for column in columns:
        given = readings.get(column.name)
        if given is None:
            return f"The reading `{column.name}` is missing."
        if kind_of(given.measure) != kind_of(column.measure):
            wanted = f"a reading in `{column.measure}`" if column.measure else "a bare number"
            return f"`{given}` is of another kind; expected {wanted} for `{column.name}`."
        at[column.name] = base_value(given)
        off_scale = off_scale or not _on_scale(column.gauge, at[column.name])
    found = [_band(table, answer, at) for answer in due]
    wrong = next((text for text in found if not isinstance(text, Band)), None)
    if wrong is not None:
        return wrong
    return Band.CANNOT_TELL if off_scale else next(band for band in _WORST if band in found)


def _band(table: Table, column: AnswerColumn, at: ReadOnly[str, Fraction]) -> Band | str:
    worked = _worked(table, column, at)
    if isinstance(worked, str):
        return worked
    found, edges = worked
    sign = 1 if column.due is Due.OR_LESS else -1
    reading = at[column.name]
    if sign * reading <= sign * edges.sure and _sure(column, found, reading):
        return Band.DUE
    if edges.open is None or sign * reading <= sign * edges.open:
        return Band.CANNOT_TELL
    return Band.SOON if edges.soon is None or sign * reading <= sign * edges.soon else Band.NOT_DUE


def _worked(
    table: Table, column: AnswerColumn, at: ReadOnly[str, Fraction]
) -> tuple[Limits, BandEdges] | str:
    """The limits and the edges of the bands at some readings."""
    formula = parse(column.formula, {*table.values, *(reading.name for reading in table.readings)})
    if isinstance(formula, FormulaFault):
        return f"The formula of `{column.name}` cannot be read: {formula.message}."
    found = limits(column, formula, [(r, at[r.name]) for r in table.readings], table.values)
    if isinstance(found, FormulaFault):
        return f"The formula of `{column.name}` gives nothing at these readings: {found.message}."
    moved = found.moved(table.guard)
    inside = Interval(*(from_base(end, column.measure) for end in (moved.low, moved.high)))
    shown = printed(column, inside)
    base = to_base(shown.value, column.measure) if shown is not None else _sooner(column, moved)
    soon = None if table.soon is None else Fraction(table.soon.value) * factor(table.soon.measure)
    edges = column_edges(column, found, base, soon)
    return (found, edges) if edges is not None else f"`{column.name}` is not due."


def _sure(column: AnswerColumn, found: Limits, reading: Fraction) -> bool:
    """Whether a reading down to the last sure one is sure: where two errors meet the larger one holds."""
    parts = stretches(column.gauge)
    if parts is None or found.spread is None or found.errorless:
        return True
    error = error_at(parts, reading)
    if column.due is Due.OR_LESS:
        return reading + error <= found.spread.low
    return reading - error >= found.spread.high


def _sooner(column: AnswerColumn, moved: Interval) -> Fraction:
    """The end of a limit that calls for the work sooner."""
    return moved.high if column.due is Due.OR_LESS else moved.low


def _on_scale(gauge: Gauge | None, base: Fraction) -> bool:
    return gauge is None or not gauge.measure or gauge.shows(from_base(base, gauge.measure))

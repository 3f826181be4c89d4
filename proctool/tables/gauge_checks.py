"""Rules on what the gauges of a table can show: uncovered, too-fine, gauge-too-coarse, unguarded."""

from __future__ import annotations

from fractions import Fraction

from proctool.model.quantity import dimension
from proctool.model.rows import AnswerCell, AnswerColumn, Due, Gauge, ReadingColumn, Row, Table
from proctool.tables.asking import Said, asks, at, columns_of, gauges_of
from proctool.tables.gauges import largest_division
from proctool.tables.rounding import amount
from proctool.tables.sheet import converted


@asks("tables/uncovered")
def uncovered(table: Table) -> Said:
    """Readings whose rows do not span what their gauge usually shows, or where nothing says what that is."""
    for place, column in enumerate(table.readings):
        gauge = column.gauge
        if gauge is None:
            continue
        low, high = gauge.usual or (None, None)
        if low is None or high is None:
            message = f"Nothing says what {gauge.label} usually shows, so nobody knows if the rows cover it."
            yield message, column.rows_span, "Give the gauge `usual` with both ends in the unit file."
            continue
        rows = [converted(r.readings[place].shown.value, column.measure, gauge.measure) for r in table.rows]
        if min(rows) > low or max(rows) < high:
            usual, ends = (_from_to(gauge, *pair) for pair in ((low, high), (min(rows), max(rows))))
            message = f"{gauge.label} usually shows {usual}; the rows go from {ends}."
            yield message, column.rows_span, "Let the rows span it, ends included."


def _from_to(gauge: Gauge, low: Fraction, high: Fraction) -> str:
    return f"{amount(low, gauge.measure)} to {amount(high, gauge.measure)}"


@asks("tables/too-fine")
def too_fine(table: Table) -> Said:
    """Columns in steps that are smaller than the smallest division of their gauge."""
    columns: tuple[ReadingColumn | AnswerColumn, ...] = (*table.readings, *table.answers)
    for column in columns:
        gauge, step = column.gauge, column.step
        if gauge is None or gauge.division is None or step is None:
            continue
        zero, one = (converted(n, column.measure, gauge.measure) for n in (Fraction(0), step))
        if one - zero < gauge.division:
            marks, own = amount(gauge.division, gauge.measure), amount(step, column.measure)
            message = f"`{column.name}` goes in steps of {own}; {gauge.label} has a mark every {marks}."
            span = column.rows_span if isinstance(column, ReadingColumn) else column.round_span
            yield message, span, "Take a step that can be read on the gauge."


@asks("tables/gauge-too-coarse")
def gauge_too_coarse(table: Table) -> Said:
    """Due tables whose gauges cannot tell the limit from what a sound unit shows, or not on their scale.

    That is so where no reading on the scale is surely due, or none surely not due; where even a reading equal
    to that of another gauge (nothing is lost between the two) is not surely short of the limit; and where a
    gauge of a grade of ASME B40.100 has divisions of more than twice the error of its middle half.
    """
    for place, column in enumerate(table.answers):
        for row in table.rows:
            message = _swallowed(table, row, column, row.answers[place])
            if message:
                begin = f"At {at(row)}: " if row.readings else ""
                yield f"{begin}{message}.", column.span, "Take finer gauges, or one for the difference."
                break
    for gauge in dict.fromkeys(c.gauge for c, _ in columns_of(table) if c.gauge is not None):
        widest = largest_division(gauge)
        if widest is not None and gauge.division is not None and gauge.division > widest:
            marks, most = (amount(n, gauge.measure) for n in (gauge.division, widest))
            message = f"{gauge.label} has a mark every {marks}; its grade asks for {most} or less."
            yield message, gauge.span or table.span, None


def _swallowed(table: Table, row: Row, column: AnswerColumn, cell: AnswerCell) -> str:
    """How the error of the gauges swallows the limit of a row; nothing where it does not."""
    edges, gauge = cell.edges, column.gauge
    if edges is None or edges.open is None or gauge is None or gauge.low is None or gauge.high is None:
        return ""
    sign = 1 if column.due is Due.OR_LESS else -1
    sure, far = (converted(edge.value, column.measure, gauge.measure) for edge in (edges.sure, edges.open))
    start, end = (gauge.low, gauge.high) if sign > 0 else (gauge.high, gauge.low)
    if sign * sure < sign * start:
        return f"no reading on {gauge.label} is surely due"
    if sign * far >= sign * end:
        return f"no reading on {gauge.label} is surely not due"
    for reading, other in zip(table.readings, row.readings, strict=True):
        if reading.gauge is None or dimension(reading.measure) != dimension(column.measure):
            continue
        same = converted(other.shown.value, reading.measure, column.measure)
        if sign * cell.value.value < sign * same <= sign * edges.open.value:
            both = f"{reading.gauge.label} and {gauge.label}"
            return f"{both} cannot tell the limit of {cell.value} from no difference at all"
    return ""


@asks("tables/unguarded")
def unguarded(table: Table) -> Said:
    """Due tables whose limit is not moved by the error of their gauges, so that work may be called for late.

    Where rounding alone moves the limit by that much, nothing is late.
    """
    for place, column in enumerate(table.answers):
        if column.due is None or table.guard:
            continue
        unknown = [gauge.label for gauge in gauges_of(table, column) if gauge.accuracy is None]
        if unknown:
            whose = " and ".join(unknown)
            message = f"The error of {whose} is unknown; `{column.name}` may be late by any amount."
            yield message, column.span, "Give the gauge `span` and `accuracy`, then the table `guard: true`."
            continue
        late = max((_late(row.answers[place]) for row in table.rows), default=Fraction(0))
        if late > 0:
            by = amount(late, column.measure)
            message = f"With the error of the gauges `{column.name}` calls for the work late by up to {by}."
            yield message, column.span, "`guard: true` moves the limit by that error."


def _late(cell: AnswerCell) -> Fraction:
    """How far past the printed limit the work may still be due, on the scale of the answer's gauge."""
    if cell.edges is None or cell.edges.open is None:
        return Fraction(0)
    return abs(cell.edges.open.value - cell.shown.value)

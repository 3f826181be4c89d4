"""The readings of a table and its rows typed by hand, from their texts."""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from collections.abc import Sequence as Many
from dataclasses import dataclass
from fractions import Fraction

from proctool.model.document import Mapping, Scalar, Sequence
from proctool.model.quantity import Quantity
from proctool.model.quantity import dimension as kind_of
from proctool.model.rows import Gauge, ReadingColumn
from proctool.model.span import Span
from proctool.tables.faults import entries, items, scalar
from proctool.tables.rows import Rows, last_place, parse_rows
from proctool.tables.sheet import Sheet, converted, title_of

_FINER = 5
"""A reading is shown in other measures in steps of at most this part of the step between rows."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading, its rows, and the steps of the other measures it is shown in."""

    column: ReadingColumn
    rows: Rows | None
    """None where the rows are those typed by hand."""
    also: ReadOnly[str, Fraction]
    places: Fraction
    """One unit of the last decimal that is shown."""


@dataclass(frozen=True, slots=True)
class Typed:
    """A row typed by hand, as read: readings, then answers."""

    quantities: tuple[Quantity, ...]
    places: tuple[Span, ...]
    span: Span


def read_typed(sheet: Sheet) -> tuple[Typed, ...]:
    """The rows typed by hand."""
    width = len(sheet.names("readings")) + len(sheet.names("answer"))
    found = []
    for row in items(sheet.node.get("typed")):
        cells = row.items if isinstance(row, Sequence) else ()
        if len(cells) != width:
            message = f"A typed row has {width} values here, readings then answers; found {len(cells)}."
            sheet.faults.schema(message, row.span)
            continue
        quantities = [quantity for cell in cells if (quantity := sheet.quantity(cell)) is not None]
        if len(quantities) == width:
            found.append(Typed(tuple(quantities), tuple(cell.span for cell in cells), row.span))
    return tuple(found)


def read_readings(sheet: Sheet, typed: Many[Typed]) -> tuple[Reading, ...]:
    """The readings; their kinds are added to what formulas may use."""
    found = []
    for place, (key, value) in enumerate(entries(sheet.node, "readings")):
        hand = [(row.quantities[place], row.places[place]) for row in typed]
        reading = _reading(sheet, key, value if isinstance(value, Mapping) else None, hand)
        if reading is not None:
            sheet.kinds[key.text] = kind_of(reading.column.measure)
            found.append(reading)
    return tuple(found)


def _reading(
    sheet: Sheet, key: Scalar, node: Mapping | None, hand: Many[tuple[Quantity, Span]]
) -> Reading | None:
    gauge, written = sheet.gauge(node), scalar(node, "rows")
    rows = parse_rows(written.text) if written is not None else None
    span = written.span if written is not None else key.span
    if isinstance(rows, str):
        sheet.faults.quantity(rows, span)
        return None
    if rows is not None:
        measure, places = rows.measure, rows.places
    elif hand:
        measure, places = hand[0][0].measure, min(last_place(quantity) for quantity, _ in hand)
    else:
        sheet.faults.schema(f"The reading `{key.text}` needs `rows`, or rows in `typed`.", span)
        return None
    for quantity, place in hand:
        if not sheet.same_kind(quantity.measure, measure, f"the typed value and `{key.text}`", place):
            return None
    if not _on_gauge(sheet, gauge, rows, measure, span):
        return None
    step = rows.step if rows is not None and rows.step else None
    column = ReadingColumn(
        name=key.text,
        title=title_of(key.text, node, gauge),
        gauge=gauge,
        measure=measure,
        step=step,
        span=key.span,
        rows_span=span,
    )
    return Reading(column, rows, sheet.also(node, measure, step / _FINER if step else places), places)


def _on_gauge(sheet: Sheet, gauge: Gauge | None, rows: Rows | None, measure: str, span: Span) -> bool:
    """Whether rows can be read on their gauge."""
    if gauge is None or not gauge.measure:
        return True
    if not sheet.same_kind(measure, gauge.measure, f"the rows and {gauge.label}", span):
        return False
    for end in (rows.low, rows.high) if rows is not None else ():
        if not gauge.shows(converted(end, measure, gauge.measure)):
            sheet.faults.quantity(f"The rows go beyond the scale of {gauge.label}.", span)
            return False
    return True

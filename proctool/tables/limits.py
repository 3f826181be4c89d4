"""How far an answer can be off: the formula over all true readings, and the edges between the bands.

Everything here is in coherent measures (see `dimension`). A table that is due at its answer or more is worked
out with the sign of its scale turned, as one that is due at its answer or less.
"""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from collections.abc import Sequence as Many
from dataclasses import dataclass
from fractions import Fraction

from proctool.model.quantity import Quantity
from proctool.model.rows import AnswerColumn, Due, ReadingColumn
from proctool.tables.dimension import base_value
from proctool.tables.evaluate import bounds, evaluate
from proctool.tables.expression import Formula, FormulaFault
from proctool.tables.gauges import Stretch, error_at, last_open, last_sure, mirrored, stretches
from proctool.tables.interval import Interval, negative, point


@dataclass(frozen=True, slots=True)
class Limits:
    """What a formula gives at some readings, and what the errors of the gauges make of it."""

    value: Interval
    """With the readings as read; one number where that is exact."""
    spread: Interval | None
    """With all true readings that the gauges allow; None where an error is unknown."""
    sure: Fraction | None
    """The last reading of the answer's gauge that is surely due."""
    open: Fraction | None
    """The last reading of the answer's gauge that may be due. None, as `sure`, where an error is unknown."""
    errorless: bool
    """Whether no gauge has an error."""

    def moved(self, guard: bool) -> Interval:
        """What is rounded: with `guard` the limit moved so far that past it work is surely not due."""
        return point(self.open) if guard and self.open is not None else self.value


@dataclass(frozen=True, slots=True)
class BandEdges:
    """From which reading on what holds, going from due to not due; see `bands`."""

    sure: Fraction
    open: Fraction | None
    soon: Fraction | None


def true_stretch(column: ReadingColumn | AnswerColumn, reading: Fraction) -> Interval | None:
    """Between which values the true one lies at a reading; None where the error of its gauge is unknown."""
    parts = stretches(column.gauge)
    if parts is None:
        return None
    error = error_at(parts, reading)
    return Interval(reading - error, reading + error)


def limits(
    column: AnswerColumn,
    formula: Formula,
    readings: Many[tuple[ReadingColumn, Fraction]],
    values: ReadOnly[str, Quantity],
) -> Limits | FormulaFault:
    """The limits at some readings. A fault where the formula gives nothing at the readings as read."""
    fixed = {name: point(base_value(quantity)) for name, quantity in values.items()}
    value = evaluate(formula, {**fixed, **{column.name: point(at) for column, at in readings}})
    if isinstance(value, FormulaFault):
        return value
    wide = {reading.name: true_stretch(reading, at) for reading, at in readings}
    known = {name: stretch for name, stretch in wide.items() if stretch is not None}
    spread = bounds(formula, {**fixed, **known}) if len(known) == len(wide) else None
    parts = stretches(column.gauge)
    if parts is None or spread is None or isinstance(spread, FormulaFault):
        kept = spread if isinstance(spread, Interval) else None
        return Limits(value, kept, None, None, errorless=False)
    errorless = all(part.error == 0 for part in parts) and all(s.exact for s in known.values())
    return Limits(value, spread, *_edges(column.due, spread, parts), errorless)


def _edges(
    due: Due | None, spread: Interval, parts: Many[Stretch]
) -> tuple[Fraction | None, Fraction | None]:
    if due is None:
        return None, None
    if due is Due.OR_LESS:
        return last_sure(parts, spread.low), last_open(parts, spread.high)
    turned, other = negative(spread), mirrored(parts)
    return -last_sure(other, turned.low), -last_open(other, turned.high)


def band_edges(
    due: Due, found: Limits, printed: Fraction, least_soon: Fraction, soon: Fraction | None
) -> BandEdges:
    """The edges of the bands where the table prints a limit.

    `soon` is how far before the limit work is told as coming; None for the error of all gauges together, at
    least `least_soon`.
    """
    sign = 1 if due is Due.OR_LESS else -1
    if found.sure is None or found.open is None:
        return BandEdges(printed, None, None)
    limit = sign * (found.value.high if sign > 0 else found.value.low)
    sure, far = sign * found.sure, max(sign * found.open, sign * printed)
    if found.errorless:
        sure = far
    margin = max(sign * found.open - limit, least_soon) if soon is None else soon
    return BandEdges(sign * sure, sign * far, sign * (far + margin))

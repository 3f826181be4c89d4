"""The cells of a row: readings and answers, each exact and as it is printed."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as ReadOnly
from collections.abc import Sequence as Many
from fractions import Fraction

from proctool.model.quantity import Quantity
from proctool.model.rows import (
    Amount,
    AnswerCell,
    AnswerColumn,
    Edges,
    ReadingCell,
    ReadingColumn,
    Spread,
    Way,
)
from proctool.tables.answers import Answer
from proctool.tables.dimension import base_value, factor, from_base, to_base
from proctool.tables.evaluate import evaluate
from proctool.tables.expression import Formula, FormulaFault
from proctool.tables.interval import Interval, point
from proctool.tables.limits import BandEdges, Limits, band_edges, limits, true_stretch
from proctool.tables.readings import Reading
from proctool.tables.rounding import amount, decimals, outward, rounded
from proctool.tables.sheet import converted

_FINER = 10
"""What gauges leave open is printed in steps of this part of a column's own."""
_OPPOSITE = {Way.UP: Way.DOWN, Way.DOWN: Way.UP, Way.NEAREST: Way.NEAREST}


def reading_cell(reading: Reading, at: Fraction, safe_row: Way | None) -> ReadingCell:
    """The cell of a reading, in the column's measure.

    `safe_row` says on which side of a true reading a row is safe to use: up if the row may be too high. What
    is shown in another measure is then rounded the other way, so that whoever reads that measure uses a row
    on the safe side; without a safe side nothing is shown.
    """
    column = reading.column
    also = []
    if safe_row is not None:
        for measure, step in reading.also.items():
            number = point(converted(at, column.measure, measure))
            also.append(amount(rounded(number, step, _OPPOSITE[safe_row]), measure, step))
    return ReadingCell(
        shown=amount(at, column.measure, reading.places),
        also=tuple(also),
        true=_true(column, at, reading.places),
    )


def _true(column: ReadingColumn | AnswerColumn, at: Fraction, step: Fraction) -> Spread | None:
    """What the true value can be when the gauge of a column reads `at`, in its measure; see `ReadingCell`."""
    if column.gauge is None:
        return None
    return spread_of(true_stretch(column, to_base(at, column.measure)), column.measure, step)


def answer_cell(
    answer: Answer,
    readings: Many[tuple[Reading, Fraction]],
    values: ReadOnly[str, Quantity],
    guard: bool,
    soon: Fraction | None,
) -> AnswerCell | FormulaFault:
    """The cell of an answer at readings in the measures of their columns; a fault where there is none.

    `soon` is a difference in coherent measures.
    """
    column, measure = answer.column, answer.column.measure
    at = [(reading.column, to_base(number, reading.column.measure)) for reading, number in readings]
    found = limits(column, answer.formula, at, values)
    if isinstance(found, FormulaFault):
        return found
    guarded = guard and column.due is not None
    if guarded and found.open is None:
        root = answer.formula.root
        message = "the error of a gauge takes the formula where it gives nothing, so `guard` cannot be kept"
        return FormulaFault("file/quantity", message, root.at, root.end)
    moved = found.moved(guarded)
    number = _in(moved, measure)
    shown = printed(column, number)
    if shown is None:
        root = answer.formula.root
        message = "the answer does not come out in a few decimals; say how it is rounded with `round`"
        return FormulaFault("file/schema", message, root.at, root.end)
    box = {name: point(base_value(quantity)) for name, quantity in values.items()}
    box |= {name.name: point(base) for name, base in at}
    ends = [_limit(end, box, measure) for end in (answer.least, answer.most)]
    bad = next((end for end in ends if isinstance(end, FormulaFault)), None)
    if bad is not None:
        return bad
    least, most = (end if isinstance(end, Amount) else None for end in ends)
    base = to_base(shown.value, measure)
    fine = column.step or Fraction(1, 100)
    return AnswerCell(
        value=amount(_in(found.value, measure).middle, measure, column.step),
        exact=found.value.exact,
        limit=spread_of(found.spread, measure, fine),
        moved=amount(number.middle, measure, column.step),
        shown=shown,
        also=tuple(also_shown(column, moved, answer.also.items())),
        true=_true(column, shown.value, fine),
        least=least,
        most=most,
        edges=edges_of(column, found, base, soon),
    )


def printed(column: AnswerColumn, number: Interval) -> Amount | None:
    """A number of the column's measure as the table prints it; None where it must be rounded and is not."""
    if column.way is not None and column.step is not None:
        return amount(rounded(number, column.step, column.way), column.measure, column.step)
    if not number.exact or decimals(number.low) is None:
        return None
    return amount(number.low, column.measure)


def also_shown(
    column: AnswerColumn, moved: Interval, steps: Iterable[tuple[str, Fraction]]
) -> Iterable[Amount]:
    """An answer in other measures, each rounded from the exact number to its own step, to the same side."""
    way = column.way or column.safe_way or Way.NEAREST
    for measure, step in steps:
        yield amount(rounded(_in(moved, measure), step, way), measure, step)


def edges_of(column: AnswerColumn, found: Limits, base: Fraction, soon: Fraction | None) -> Edges | None:
    """The edges of the bands in the column's measure; None where the answer is not due."""
    edges = column_edges(column, found, base, soon)
    if edges is None:
        return None
    sure, far, near = (
        None if edge is None else amount(from_base(edge, column.measure), column.measure, column.step)
        for edge in (edges.sure, edges.open, edges.soon)
    )
    return Edges(sure, far, near) if sure is not None else None


def column_edges(
    column: AnswerColumn, found: Limits, base: Fraction, soon: Fraction | None
) -> BandEdges | None:
    """The edges of the bands in coherent measures; `base` is the printed limit."""
    if column.due is None:
        return None
    step = (column.step or Fraction(0)) * factor(column.measure)
    return band_edges(column.due, found, base, step, soon)


def spread_of(stretch: Interval | None, measure: str, step: Fraction) -> Spread | None:
    """A stretch of coherent measures in a column's measure, its texts rounded outwards."""
    if stretch is None:
        return None
    inside = _in(stretch, measure)
    return Spread(*outward(inside.low, inside.high, measure, step / _FINER))


def _limit(
    formula: Formula | None, box: ReadOnly[str, Interval], measure: str
) -> Amount | FormulaFault | None:
    """`least` or `most` of an answer. Of what is not exact the middle stands for it."""
    if formula is None:
        return None
    found = evaluate(formula, box)
    return found if isinstance(found, FormulaFault) else amount(_in(found, measure).middle, measure)


def _in(number: Interval, measure: str) -> Interval:
    if number.exact:
        return point(from_base(number.low, measure))
    return Interval(from_base(number.low, measure), from_base(number.high, measure))

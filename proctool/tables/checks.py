"""What the rules on tables ask, one function for each; they yield what is wrong.

Each takes what `compute` gave. Where that is no table but the faults that kept it from being one, a function
yields those of its own kind, and `faults` all of them.
"""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from fractions import Fraction
from itertools import chain

from proctool.model.rows import (
    Amount,
    AnswerCell,
    AnswerColumn,
    Due,
    Outcome,
    Row,
    SafeSide,
    Table,
    TableFault,
    TypedAnswer,
    TypedRow,
    Way,
)
from proctool.tables.asking import Check, Said, asks, at, columns_of
from proctool.tables.gauge_checks import gauge_too_coarse, too_fine, uncovered, unguarded
from proctool.tables.rounding import amount
from proctool.tables.sheet import converted


def faults(outcome: Outcome) -> tuple[TableFault, ...]:
    """All that is wrong with a table, in the order of its file; or why there is none."""
    if not isinstance(outcome, Table):
        return outcome
    found = chain.from_iterable(check(outcome) for check in CHECKS.values())
    return tuple(sorted(dict.fromkeys(found), key=lambda f: (f.span, f.kind, f.message)))


@asks("tables/unsafe-side")
def unsafe_side(table: Table) -> Said:
    """Answers that are rounded to the side that is not safe, or leave the band they must stay in.

    A limit goes to the side that calls for the work sooner: up where it is due at the answer or less, down
    where at the answer or more. Other answers go to their `safe_side`; where none is said and rounding
    changes an answer, nobody knows whether it is safe.
    """
    for place, column in enumerate(table.answers):
        cells = [row.answers[place] for row in table.rows]
        message = _wrong_way(column) or _unsaid_side(column, cells)
        if message:
            yield message, column.round_span, _side_help(column)
        if column.due is not None and column.safe_side not in {None, _side_of(column)}:
            message = f"`safe_side: {column.safe_side}` of `{column.name}` contradicts its `due_when`."
            yield message, column.span, "Leave `safe_side` out; `due_when` says which side is safe."
        pairs = zip(table.rows, cells, strict=True)
        left = next((text for row, cell in pairs if (text := _left(row, cell))), "")
        if left:
            yield f"`{column.name}` {left}.", column.round_span, "Take a finer step, or round the other way."


def _side_of(column: AnswerColumn) -> SafeSide:
    return SafeSide.HIGH if column.due is Due.OR_LESS else SafeSide.LOW


def _wrong_way(column: AnswerColumn) -> str:
    if column.way is None or column.safe_way is None or column.way is column.safe_way:
        return ""
    way = "to the nearest step" if column.way is Way.NEAREST else column.way
    if column.due is not None:
        due = "or less" if column.due is Due.OR_LESS else "or more"
        sooner = f"only rounding {column.safe_way} never calls for it late"
        return f"`{column.name}` is rounded {way}; work is due at it {due}, so {sooner}."
    return f"`{column.name}` is rounded {way}, and its safe side is {column.safe_side}."


def _unsaid_side(column: AnswerColumn, cells: list[AnswerCell]) -> str:
    if column.safe_way is not None or column.safe_side is not None:
        return ""
    for cell in cells:
        for shown in (cell.shown, *cell.also):
            number = converted(shown.value, shown.measure, column.measure)
            if number != cell.moved.value or not cell.exact:
                told = f"{cell.value} is shown as {shown}"
                return f"`{column.name}` is rounded ({told}), and nothing says which way is safe."
    return ""


def _side_help(column: AnswerColumn) -> str:
    if column.safe_way is not None:
        return f"Write `round: {column.safe_way} to` and the step."
    return "Say with `due_when` when work is due, or with `safe_side` which way is safe: low, high or inside."


def _left(row: Row, cell: AnswerCell) -> str:
    """How an answer leaves the band between `least` and `most`, in any measure it is shown in."""
    place = f" at {at(row)}" if row.readings else ""
    for shown in (cell.shown, *cell.also):
        number = converted(shown.value, shown.measure, cell.shown.measure)
        if cell.least is not None and number < cell.least.value:
            return f"is shown as {shown}{place}, which is below its least of {cell.least}"
        if cell.most is not None and number > cell.most.value:
            return f"is shown as {shown}{place}, which is above its most of {cell.most}"
    return ""


@asks("tables/row-off")
def row_off(table: Table) -> Said:
    """Rows typed by hand that are not what the formula gives, rounded.

    How far off is told against the answer before it is rounded (moved, where the table is guarded), and which
    way it errs: a limit calls for the work late or early, other answers are too low or too high.
    """
    for row in table.typed:
        for column, answer in zip(table.answers, row.answers, strict=True):
            if not answer.right:
                yield _off(row, column, answer), answer.span, f"Write `{answer.expected}`."


def _off(row: TypedRow, column: AnswerColumn, answer: TypedAnswer) -> str:
    measure = answer.given.measure
    exact = amount(Fraction(answer.given.value) - answer.off, measure)
    place = " and ".join(map(str, row.readings))
    begin = f"At {place}: " if place else ""
    rounded = f", rounded {answer.expected}" if exact.value != answer.expected.value else ""
    errs = _errs(column, answer, amount(abs(answer.off), measure))
    return f"{begin}`{answer.given}` is typed; the formula gives {exact}{rounded}. {errs}"


def _errs(column: AnswerColumn, answer: TypedAnswer, far: Amount) -> str:
    if answer.off == 0:
        return "It is not rounded."
    low = answer.off < 0
    if column.due is not None:
        late = low == (column.due is Due.OR_LESS)
        return f"It calls for the work {'late' if late else 'early'}, by {far}."
    side = SafeSide.LOW if low else SafeSide.HIGH
    sided = column.safe_side in {SafeSide.LOW, SafeSide.HIGH}
    word = ", the safe side" if column.safe_side is side else ", the unsafe side" if sided else ""
    return f"It errs to the {side} side{word}, by {far}."


@asks("tables/measures")
def measures(table: Table) -> Said:
    """Formulas and columns that do not agree in dimension, and columns told in no measure of their dial."""
    for column, told in columns_of(table):
        gauge = column.gauge
        if gauge is not None and gauge.measure and gauge.measure not in told:
            message = f"`{column.name}` is told in {' and '.join(told)}; {gauge.label} shows {gauge.measure}."
            yield message, column.span, "Tell it in the measure of the dial, or add that with `also`."


@asks("tables/no-while")
def no_while(table: Table) -> Said:
    """Due tables that do not say under what condition their readings mean something."""
    if table.due and not table.condition.strip():
        message = f"The table `{table.name}` does not say under what condition its readings are taken."
        yield message, table.span, "Add `while:`, such as `water runs at normal flow`."


CHECKS: ReadOnly[str, Check] = {
    "tables/unsafe-side": unsafe_side,
    "tables/row-off": row_off,
    "tables/uncovered": uncovered,
    "tables/measures": measures,
    "tables/no-while": no_while,
    "tables/too-fine": too_fine,
    "tables/gauge-too-coarse": gauge_too_coarse,
    "tables/unguarded": unguarded,
}
"""Each rule on tables with its function."""

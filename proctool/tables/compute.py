"""One table of a procedure for one unit: from its text to columns and rows, or to what is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from collections.abc import Sequence as Many
from fractions import Fraction

from proctool.model.document import Mapping, Scalar
from proctool.model.quantity import Quantity
from proctool.model.quantity import dimension as kind_of
from proctool.model.rows import (
    AnswerCell,
    AnswerColumn,
    Outcome,
    Row,
    Table,
    TypedAnswer,
    TypedRow,
    Way,
)
from proctool.model.span import Span
from proctool.model.unit import Unit
from proctool.tables.answers import Answer, read_answers
from proctool.tables.cells import answer_cell, reading_cell
from proctool.tables.dimension import DIFFERENCE, TEMPERATURE, factor
from proctool.tables.expression import FormulaFault
from proctool.tables.faults import Faults, inside, scalar
from proctool.tables.nearby import with_nearby
from proctool.tables.readings import Reading, Typed, read_readings, read_typed
from proctool.tables.rounding import amount
from proctool.tables.rows import combinations
from proctool.tables.sheet import Sheet, converted

_Numbers = tuple[Fraction, ...]
"""One number for each reading, in the measures of their columns."""


def compute(
    name: Scalar, node: Mapping, unit: Unit, shows: ReadOnly[str, tuple[str, ...]] | None = None
) -> Outcome:
    """The table `name` on one unit, or everything that keeps it from being worked out; never raises.

    `node` is what stands under its name in the procedure. `shows` has for each kind of quantity the measures
    that the library shows; those other than the column's own are told beside it. In formulas may stand the
    names of readings and of `fixed`, facts of the unit, and properties of its parts as `part.property`.
    """
    faults = Faults()
    sheet = Sheet(name, node, unit, shows or {}, faults)
    typed = read_typed(sheet)
    readings = read_readings(sheet, typed)
    answers = read_answers(sheet)
    guard = _guard(sheet, readings, answers)
    soon = _soon(sheet, answers)
    rows = _combinations(sheet, readings, typed) if not faults else []
    if faults:
        return faults.all()
    work = _Work(sheet, readings, with_nearby(answers, readings, sheet.values, rows), guard, soon, faults)
    computed = tuple(row for numbers in rows if (row := work.row(numbers)) is not None)
    by_hand = tuple(held for each in typed if (held := work.typed(each)) is not None)
    if faults:
        return faults.all()
    title, condition = scalar(node, "title"), scalar(node, "while")
    return Table(
        name=name.text,
        title=title.text if title is not None else name.text.replace("_", " ").replace("-", " "),
        condition=condition.text if condition is not None else "",
        readings=tuple(reading.column for reading in readings),
        answers=tuple(answer.column for answer in work.answers),
        rows=computed,
        typed=by_hand,
        guard=guard,
        soon=soon,
        values=dict(sheet.values),
        span=name.span,
    )


def _guard(sheet: Sheet, readings: Many[Reading], answers: Many[Answer]) -> bool:
    """Whether the table is guarded; what `guard` asks and is not there is noted."""
    written = scalar(sheet.node, "guard")
    if written is None or written.text == "false":
        return False
    if written.text != "true":
        sheet.faults.schema(f"`guard` is `true` or `false`; found `{written.text}`.", written.span)
        return False
    if "due_when" not in sheet.node:
        sheet.faults.schema("`guard` moves a limit; say with `due_when` which answer is one.", written.span)
    due = [answer.column.gauge for answer in answers if answer.column.due is not None]
    for gauge in [*(reading.column.gauge for reading in readings), *due]:
        if gauge is not None and gauge.accuracy is None:
            message = f"`guard` needs the error of {gauge.label}."
            help_ = "Give the gauge its `span` and `accuracy` in the unit file."
            sheet.faults.note("file/quantity", message, written.span, help=help_)
    return True


def _soon(sheet: Sheet, answers: Many[Answer]) -> Quantity | None:
    """How far before the limit work is told as coming."""
    written = scalar(sheet.node, "soon")
    found = sheet.quantity(written) if written is not None else None
    if written is None or found is None:
        return None
    if found.value < 0:
        sheet.faults.quantity(f"`soon` is a distance, 0 or more; found `{found}`.", written.span)
    for answer in answers:
        wanted = kind_of(answer.column.measure)
        fitting = {wanted, DIFFERENCE} if wanted == TEMPERATURE else {wanted}
        if answer.column.due is not None and kind_of(found.measure) not in fitting:
            sheet.faults.measures(f"`soon` and the answer `{answer.column.name}` do not agree.", written.span)
    if not any(answer.column.due is not None for answer in answers) and answers:
        sheet.faults.schema("`soon` stands beside `due_when`.", written.span)
    return found


def _combinations(sheet: Sheet, readings: Many[Reading], typed: Many[Typed]) -> list[_Numbers]:
    """The readings of every row: all combinations, or those typed by hand where a reading has no rows."""
    with_rows = [reading.rows for reading in readings if reading.rows is not None]
    if len(with_rows) < len(readings):
        if with_rows:
            message = "Either all readings have `rows`, or none has and `typed` gives them."
            sheet.faults.schema(message, sheet.name.span)
        return list(dict.fromkeys(_numbers(readings, row) for row in typed))
    found = combinations(with_rows)
    if isinstance(found, str):
        sheet.faults.note("file/limit", found, readings[0].column.rows_span)
        return []
    return found


def _numbers(readings: Many[Reading], row: Typed) -> _Numbers:
    pairs = zip(readings, row.quantities, strict=False)
    return tuple(converted(Fraction(q.value), q.measure, reading.column.measure) for reading, q in pairs)


class _Work:
    """The rows of a table being worked out."""

    def __init__(
        self,
        sheet: Sheet,
        readings: Many[Reading],
        answers: tuple[Answer, ...],
        guard: bool,
        soon: Quantity | None,
        faults: Faults,
    ) -> None:
        self.sheet, self.readings, self.answers, self.faults = sheet, readings, answers, faults
        self.guard = guard
        self.soon = None if soon is None else Fraction(soon.value) * factor(soon.measure)
        self.safe_rows = [self._safe_row(place) for place in range(len(readings))]

    def _safe_row(self, place: int) -> Way | None:
        """On which side of a true reading a row is safe for every answer."""
        sided = [a.column for a in self.answers if a.column.safe_way is not None]
        if not sided:
            return Way.NEAREST
        ways = {column.nearby[place] for column in sided}
        return ways.pop() if len(ways) == 1 else None

    def row(self, numbers: _Numbers) -> Row | None:
        """One row; None with a fault noted where an answer has none."""
        cells = self._answers(numbers)
        if cells is None:
            return None
        pairs = zip(self.readings, numbers, self.safe_rows, strict=True)
        return Row(tuple(reading_cell(*pair) for pair in pairs), cells)

    def _answers(self, numbers: _Numbers) -> tuple[AnswerCell, ...] | None:
        at = list(zip(self.readings, numbers, strict=True))
        cells = []
        for answer in self.answers:
            cell = answer_cell(answer, at, self.sheet.values, self.guard, self.soon)
            if isinstance(cell, FormulaFault):
                self._no_answer(answer, cell, at)
                return None
            cells.append(cell)
        return tuple(cells)

    def _no_answer(self, answer: Answer, fault: FormulaFault, at: Many[tuple[Reading, Fraction]]) -> None:
        """Note that there is none at some readings; one row is told, not each."""
        if self.faults.has(fault.kind, inside(answer.text, fault.at, fault.end)):
            return
        told = [f"{r.column.name} {amount(n, r.column.measure, r.places)}" for r, n in at]
        self.faults.formula(answer.text, fault, f" (at {' and '.join(told)})" if told else "")

    def typed(self, row: Typed) -> TypedRow | None:
        """A row typed by hand beside what should stand there."""
        numbers = _numbers(self.readings, row)
        cells = self._answers(numbers)
        if cells is None:
            return None
        given = list(zip(row.quantities, row.places, strict=True))[len(numbers) :]
        answers = []
        for (quantity, place), answer, cell in zip(given, self.answers, cells, strict=True):
            what = f"the typed value and `{answer.column.name}`"
            if not self.sheet.same_kind(quantity.measure, answer.column.measure, what, place):
                return None
            answers.append(_typed_answer(quantity, answer.column, cell, place))
        return TypedRow(row.quantities[: len(numbers)], tuple(answers), row.span)


def _typed_answer(quantity: Quantity, column: AnswerColumn, cell: AnswerCell, place: Span) -> TypedAnswer:
    """Held against what is shown in the measure that was typed, else against the column's own."""
    measure = quantity.measure
    shown = next((a for a in (cell.shown, *cell.also) if a.measure == measure), None)
    if shown is None:
        shown = amount(converted(cell.shown.value, column.measure, measure), measure)
    exact = converted(cell.moved.value, column.measure, measure)
    return TypedAnswer(quantity, shown, Fraction(quantity.value) - exact, place)

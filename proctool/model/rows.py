"""Tables worked out for one unit: columns, rows, what the gauges leave open, and what is wrong with them.

Every number is exact, as a fraction of its measure, and stands beside the text that is printed for it.
"""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass
from enum import Enum, StrEnum
from fractions import Fraction
from typing import TypeAlias

from proctool.model.quantity import Quantity
from proctool.model.span import Span


class Way(StrEnum):
    """Which way an answer is rounded."""

    UP = "up"
    """To the next step that is not below it; below zero too."""
    DOWN = "down"
    """To the next step that is not above it."""
    NEAREST = "nearest"
    """To the nearest step; half-way to the even one (ISO 80000-1:2009, annex B, rule A; from memory)."""


class Due(StrEnum):
    """On which side of the answer the work is due; the answer itself is on that side."""

    OR_LESS = "or_less"
    OR_MORE = "or_more"


class SafeSide(StrEnum):
    """Which way an answer may err."""

    LOW = "low"
    HIGH = "high"
    INSIDE = "inside"
    """Neither way: it stays between the answer's `least` and `most`."""


class Band(Enum):
    """What a reading of a due table says. `tables.bands` has the exact limits.

    No text, so that it cannot be taken for the words that say why there is no band.
    """

    DUE = "due"
    SOON = "soon"
    NOT_DUE = "not_due"
    CANNOT_TELL = "cannot_tell"


@dataclass(frozen=True, slots=True)
class TableFault:
    """What is wrong with a table: the id of the rule that asks, what was found, and where."""

    kind: str
    message: str
    span: Span
    help: str | None = None


@dataclass(frozen=True, slots=True)
class Amount:
    """A number of a measure, exact, and how it is printed, with the measure."""

    value: Fraction
    measure: str
    text: str

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class Spread:
    """Between which values something surely lies, ends included. The texts are rounded outwards."""

    low: Amount
    high: Amount


@dataclass(frozen=True, slots=True)
class ErrorBand:
    """A stretch of a gauge's scale, ends included, and how far off a reading there may be at most."""

    low: Fraction
    high: Fraction
    error: Fraction


@dataclass(frozen=True, slots=True)
class Gauge:
    """A gauge as its unit file tells it. All numbers are in `measure`."""

    id: str
    label: str
    """Name and tag."""
    measure: str
    """What its dial is marked in; empty where the file gives no span."""
    low: Fraction | None
    """Where its scale starts."""
    high: Fraction | None
    """Where its scale ends."""
    accuracy: tuple[ErrorBand, ...] | None
    """Its error along the scale; None where the file does not say it."""
    division: Fraction | None
    usual: tuple[Fraction | None, Fraction | None] | None
    """Least and most that it shows in normal service; an end that is None is open."""
    graded: bool = False
    """Whether its accuracy is a grade of ASME B40.100."""
    span: Span | None = None
    """Where the unit file has it."""

    def error_at(self, reading: Fraction) -> Fraction | None:
        """How far the true value may be off a reading: its accuracy there and half a division.

        Where two bands meet the larger error holds; off the scale that of the nearer end. None where the
        accuracy is unknown.
        """
        if self.accuracy is None:
            return None
        inside = min(max(reading, self.accuracy[0].low), self.accuracy[-1].high)
        worst = max(band.error for band in self.accuracy if band.low <= inside <= band.high)
        return worst + (self.division or Fraction(0)) / 2

    def shows(self, value: Fraction) -> bool:
        """Whether a value is on its scale."""
        return (self.low is None or value >= self.low) and (self.high is None or value <= self.high)


@dataclass(frozen=True, slots=True)
class ReadingColumn:
    """What is read, and the step from row to row."""

    name: str
    title: str
    gauge: Gauge | None
    measure: str
    step: Fraction | None
    """In `measure`; None where the rows are those typed by hand."""
    span: Span
    rows_span: Span
    """Where the file says the rows."""


@dataclass(frozen=True, slots=True)
class AnswerColumn:
    """What is answered, and how it is rounded."""

    name: str
    title: str
    formula: str
    gauge: Gauge | None
    measure: str
    way: Way | None
    step: Fraction | None
    """In `measure`; None where the answer is not rounded."""
    due: Due | None
    safe_side: SafeSide | None
    """Its own or the table's; None where neither says one."""
    safe_way: Way | None
    """The way of rounding that is safe: up or down. None for `inside`, and where nothing says a side."""
    nearby: tuple[Way | None, ...]
    """For each reading, which neighbouring row is safe for one that lies between two rows: the next
    higher (up) or the next lower (down). None where neither is for sure."""
    span: Span
    round_span: Span
    """Where the file says the rounding; the answer's name if it does not."""


@dataclass(frozen=True, slots=True)
class ReadingCell:
    """A reading of one row."""

    shown: Amount
    also: tuple[Amount, ...]
    """The same in other measures, rounded to the side on which this row is still safe."""
    true: Spread | None
    """What the true value can be when the gauge reads this; None where its error is unknown, or no gauge is
    named."""


@dataclass(frozen=True, slots=True)
class Edges:
    """Where the bands of a due answer meet, at the readings of one row.

    Going from due to not due: due up to `sure`, cannot tell up to `open`, soon up to `soon`, then not due.
    Where the error of a gauge is unknown, `open` and `soon` are None, and nothing is ever not due.
    """

    sure: Amount
    """The last reading at which the gauges are sure that the work is due; without their errors, at which the
    table calls for it."""
    open: Amount | None
    """The last reading that calls for the work or leaves open whether it is due."""
    soon: Amount | None


@dataclass(frozen=True, slots=True)
class AnswerCell:
    """An answer of one row."""

    value: Amount
    """What the formula gives, not rounded, with the readings as read."""
    exact: bool
    """Whether `value` is exact; else it is right to 50 digits or more, and rounding took the safe end."""
    limit: Spread | None
    """What the formula can give for the true readings; None where the error of a gauge is unknown."""
    moved: Amount
    """What is rounded: `value`, with `guard` moved by the error of all gauges to the sooner side."""
    shown: Amount
    also: tuple[Amount, ...]
    """In other measures, each rounded from the exact value, the same way as `shown`."""
    true: Spread | None
    """The same when the answer's gauge reads `shown`."""
    least: Amount | None
    most: Amount | None
    """The band the answer must stay in."""
    edges: Edges | None
    """For due answers only."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row: readings and answers, in the order of the columns."""

    readings: tuple[ReadingCell, ...]
    answers: tuple[AnswerCell, ...]


@dataclass(frozen=True, slots=True)
class TypedAnswer:
    """An answer typed by hand, beside what the table gives at the readings typed with it."""

    given: Quantity
    expected: Amount
    """What should stand there: rounded, in the measure that was typed."""
    off: Fraction
    """What was typed less the answer before rounding, in the measure that was typed."""
    span: Span

    @property
    def right(self) -> bool:
        """Whether what was typed is what should stand there."""
        return Fraction(self.given.value) == self.expected.value


@dataclass(frozen=True, slots=True)
class TypedRow:
    """A row typed by hand."""

    readings: tuple[Quantity, ...]
    answers: tuple[TypedAnswer, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Table:
    """A table of a procedure, worked out for one unit."""

    name: str
    title: str
    condition: str
    """`while`: under what condition its readings mean something; empty where it does not say."""
    readings: tuple[ReadingColumn, ...]
    answers: tuple[AnswerColumn, ...]
    rows: tuple[Row, ...]
    typed: tuple[TypedRow, ...]
    guard: bool
    soon: Quantity | None
    """How far before the limit the work is told as coming; None for the usual distance."""
    values: ReadOnly[str, Quantity]
    """What the names in the formulas stand for, those of the readings apart."""
    span: Span
    """Where its name stands."""

    @property
    def due(self) -> bool:
        """Whether it says when work is due."""
        return any(answer.due is not None for answer in self.answers)

    @property
    def exact(self) -> bool:
        """Whether every answer is exact before it is rounded."""
        return all(cell.exact for row in self.rows for cell in row.answers)


Outcome: TypeAlias = Table | tuple[TableFault, ...]
"""A table, or why there is none."""

"""How a rule on tables is asked, whether the table could be worked out or not."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import wraps
from typing import TypeAlias

from proctool.model.rows import AnswerColumn, Gauge, Outcome, ReadingColumn, Row, Table, TableFault
from proctool.model.span import Span

Said: TypeAlias = Iterator[tuple[str, Span, str | None]]
"""What is wrong, where, and what to do about it."""
Check: TypeAlias = Callable[[Outcome], Iterator[TableFault]]
"""Takes what `compute` gave, and yields what one rule finds wrong with it."""


def asks(kind: str) -> Callable[[Callable[[Table], Said]], Check]:
    """Make a check of one rule from a function of a table.

    Where there is no table, the check yields the faults of its own kind that kept it from being worked out.
    """

    def wrap(check: Callable[[Table], Said]) -> Check:
        @wraps(check)
        def checked(outcome: Outcome) -> Iterator[TableFault]:
            if isinstance(outcome, Table):
                for message, span, help_ in check(outcome):
                    yield TableFault(kind, message[:1].upper() + message[1:], span, help_)
            else:
                yield from (fault for fault in outcome if fault.kind == kind)

        return checked

    return wrap


def at(row: Row) -> str:
    """A row by its readings."""
    return " and ".join(cell.shown.text for cell in row.readings)


def columns_of(table: Table) -> Iterator[tuple[ReadingColumn | AnswerColumn, list[str]]]:
    """Each column and the measures that it is told in."""
    for place, reading in enumerate(table.readings):
        also = [a.measure for row in table.rows[:1] for a in row.readings[place].also]
        yield reading, [reading.measure, *also]
    for place, answer in enumerate(table.answers):
        also = [a.measure for row in table.rows[:1] for a in row.answers[place].also]
        yield answer, [answer.measure, *also]


def gauges_of(table: Table, answer: AnswerColumn) -> tuple[Gauge, ...]:
    """The gauges that an answer depends on, each once: those of the readings and its own."""
    gauges = [*(reading.gauge for reading in table.readings), answer.gauge]
    return tuple(dict.fromkeys(gauge for gauge in gauges if gauge is not None))

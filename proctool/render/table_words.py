"""How a table is read, in words: what to look up, between its rows, how far off its gauges can be."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from math import ceil

from proctool.model.rows import AnswerColumn, Due, Gauge, ReadingColumn, SafeSide, Table, Way
from proctool.render import words
from proctool.render.grid import Pair

BANDS = (
    Pair("Due", "The true values are at the limit or past it, however far off the gauges are. Do the work."),
    Pair("Gauges cannot tell", "The true values can lie on either side of the limit. Do the work."),
    Pair("Soon", "Not due yet, but close. Plan the work."),
    Pair("Not due", "Not due, however far off the gauges are."),
)
"""The four bands of a due answer, and what each asks for."""

_SAFE = {
    SafeSide.LOW: "{answer} is rounded down: less is the safe side. Do not go above it.",
    SafeSide.HIGH: "{answer} is rounded up: more is the safe side. Do not go below it.",
    SafeSide.INSIDE: "Keep {answer} between its least and its most.",
}
_PLACES = 3


def titled(column: ReadingColumn | AnswerColumn) -> str:
    """The head of a column: its title, and its gauge where the title does not name it."""
    title, gauge = words.capital(column.title), column.gauge
    if gauge is None or gauge.label.casefold() in title.casefold():
        return title
    return f"{title} ({gauge.label})"


def _called(column: ReadingColumn | AnswerColumn) -> str:
    return f"the {column.gauge.label}" if column.gauge is not None else f"“{column.title}”"


def reads(table: Table) -> str:
    """What is held against the rows of a due table."""
    return words.listed((f"a reading of {_called(a)}" for a in table.answers if a.due is not None), "or")


def how(table: Table) -> tuple[str, ...]:
    """How the table is read, the first sentence whole by itself."""
    found = [_look_up(table), *_between_rows(table)]
    found += (
        words.capital(_SAFE[answer.safe_side].format(answer=_called(answer)))
        for answer in table.answers
        if answer.due is None and answer.safe_side is not None
    )
    return tuple(found)


def _look_up(table: Table) -> str:
    read = words.listed(_called(reading) for reading in table.readings)
    lead = f"Read {read} and find the row of what you read"
    due = [answer for answer in table.answers if answer.due is not None]
    if not due:
        return f"{lead}: it gives {words.listed(_called(answer) for answer in table.answers)}."
    sides = {Due.OR_LESS: "or less", Due.OR_MORE: "or more"}
    said = (f"{_called(a)} reads the value of that row {sides[a.due]}" for a in due if a.due is not None)
    return f"{lead}. The work is due when {words.listed(said, 'or')}."


def _between_rows(table: Table) -> Iterator[str]:
    """Which row counts for a reading between two rows; where none surely does, the work counts as due."""
    for place, reading in enumerate(table.readings):
        if reading.step is None:
            continue
        ways = [(a, a.nearby[place] if place < len(a.nearby) else None) for a in table.answers]
        told = {_row(answer, way): answer for answer, way in ways}
        lead = f"Where {_called(reading)} reads between two rows"
        if len(told) == 1:
            yield f"{lead}, {next(iter(told))}."
        else:
            yield from (f"{lead}, for {_called(answer)} {_row(answer, way)}." for answer, way in ways)


def _row(answer: AnswerColumn, way: Way | None) -> str:
    if way in {Way.UP, Way.DOWN}:
        return f"take the row of the next {'higher' if way is Way.UP else 'lower'} reading"
    return "take the work as due" if answer.due is not None else "the table gives no sure value: take none"


def errors(table: Table) -> tuple[str, ...]:
    """How far off its gauges can be, and what it does about it."""
    columns: tuple[ReadingColumn | AnswerColumn, ...] = (*table.readings, *table.answers)
    gauges = {column.gauge.id: column.gauge for column in columns if column.gauge is not None}
    found = [_error(gauge) for gauge in gauges.values()]
    if table.due and table.guard:
        found.append(
            "Each limit is moved by as much as the gauges can be off together, to the side that calls for "
            "the work sooner."
        )
    elif table.due:
        found.append(
            "The limits are not moved for what the gauges can be off: what they cannot tell counts as due."
        )
    return tuple(found)


def _error(gauge: Gauge) -> str:
    name = words.capital(gauge.label)
    if gauge.accuracy is None:
        return f"How far off the {gauge.label} can be is not known: no reading of it is surely not due."
    most = max(band.error for band in gauge.accuracy)
    parts = "its accuracy"
    if gauge.division is not None:
        most += gauge.division / 2
        parts += " and half a division of its dial"
    return f"{name} can be off by up to {_up(most)} {gauge.measure}: {parts}."


def _up(value: Fraction) -> str:
    """A number with the decimals it has; with more than a few rounded up."""
    for places in range(_PLACES + 1):
        if (value * 10**places).denominator == 1:
            return f"{Decimal(int(value * 10**places)).scaleb(-places):f}"
    return f"{Decimal(ceil(value * 10**_PLACES)).scaleb(-_PLACES):f}"

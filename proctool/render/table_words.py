"""How a table is read, in words: what to look up, between its rows, how far off its gauges can be."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from math import ceil

from proctool.model.rows import AnswerColumn, Due, Gauge, ReadingColumn, SafeSide, Table, Way
from proctool.render import words
from proctool.render.grid import Pair
from proctool.render.speech import counted, fixed, say

BANDS = (
    (
        fixed("Due"),
        fixed("The true values are at the limit or past it, however far off the gauges are. Do the work."),
    ),
    (
        fixed("Gauges cannot tell"),
        fixed("The true values can lie on either side of the limit. Do the work."),
    ),
    (fixed("Soon"), fixed("Not due yet, but close. Plan the work.")),
    (fixed("Not due"), fixed("Not due, however far off the gauges are.")),
)
"""The four bands of a due answer, and what each asks for."""

_SAFE = {
    SafeSide.LOW: fixed("{answer} is rounded down: less is the safe side. Do not go above it."),
    SafeSide.HIGH: fixed("{answer} is rounded up: more is the safe side. Do not go below it."),
    SafeSide.INSIDE: fixed("Keep {answer} between its least and its most."),
}
_SIDES = {
    Due.OR_LESS: fixed("{gauge} reads the value of that row or less"),
    Due.OR_MORE: fixed("{gauge} reads the value of that row or more"),
}
_PLACES = 3


def titled(column: ReadingColumn | AnswerColumn) -> str:
    """The head of a column: its title, and its gauge where the title does not name it."""
    title, gauge = words.capital(column.title), column.gauge
    if gauge is None or gauge.label.casefold() in title.casefold():
        return title
    return say("{title} ({gauge})", title=title, gauge=gauge.label)


def meanings() -> tuple[Pair, ...]:
    """The bands and what each asks for."""
    return tuple(Pair(say(label), say(asked)) for label, asked in BANDS)


def _called(column: ReadingColumn | AnswerColumn) -> str:
    if column.gauge is None:
        return say("“{column}”", column=column.title)
    return say("the {gauge}", gauge=column.gauge.label)


def reads(table: Table) -> str:
    """What is held against the rows of a due table."""
    return words.either(
        say("a reading of {gauge}", gauge=_called(a)) for a in table.answers if a.due is not None
    )


def how(table: Table) -> tuple[str, ...]:
    """How the table is read, the first sentence whole by itself."""
    found = [_look_up(table), *_between_rows(table)]
    found += (
        words.capital(say(_SAFE[answer.safe_side], answer=_called(answer)))
        for answer in table.answers
        if answer.due is None and answer.safe_side is not None
    )
    return tuple(found)


def _look_up(table: Table) -> str:
    read = words.listed(_called(reading) for reading in table.readings)
    if not table.due:
        return say(
            "Read {gauges} and find the row of what you read: it gives {answers}.",
            gauges=read,
            answers=words.listed(_called(answer) for answer in table.answers),
        )
    said = (say(_SIDES[a.due], gauge=_called(a)) for a in table.answers if a.due is not None)
    return say(
        "Read {gauges} and find the row of what you read. The work is due when {so}.",
        gauges=read,
        so=words.either(said),
    )


def _between_rows(table: Table) -> Iterator[str]:
    """Which row counts for a reading between two rows; where none surely does, the work counts as due."""
    for place, reading in enumerate(table.readings):
        if reading.step is None:
            continue
        ways = [(a, a.nearby[place] if place < len(a.nearby) else None) for a in table.answers]
        told = {_row(answer, way) for answer, way in ways}
        if len(told) == 1:
            yield say("Where {gauge} reads between two rows, {act}.", gauge=_called(reading), act=told.pop())
            continue
        for answer, way in ways:
            yield say(
                "Where {gauge} reads between two rows, for {answer} {act}.",
                gauge=_called(reading),
                answer=_called(answer),
                act=_row(answer, way),
            )


def _row(answer: AnswerColumn, way: Way | None) -> str:
    if way is Way.UP:
        return say("take the row of the next higher reading")
    if way is Way.DOWN:
        return say("take the row of the next lower reading")
    if answer.due is not None:
        return say("take the work as due")
    return say("the table gives no sure value: take none")


def errors(table: Table) -> tuple[str, ...]:
    """How far off its gauges can be, and what it does about it."""
    columns: tuple[ReadingColumn | AnswerColumn, ...] = (*table.readings, *table.answers)
    gauges = {column.gauge.id: column.gauge for column in columns if column.gauge is not None}
    found = [_error(gauge) for gauge in gauges.values()]
    if bare := [_called(reading) for reading in table.readings if reading.gauge is None]:
        found.append(
            counted(
                "{readings} is taken as exact: no gauge of the unit shows it, so nothing is known of its "
                "error.",
                "{readings} are taken as exact: no gauge of the unit shows them, so nothing is known of "
                "their errors.",
                len(bare),
                readings=words.listed(bare),
            )
        )
    if table.due and table.guard:
        found.append(
            say(
                "Each limit is moved by as much as the gauges can be off together, to the side that calls "
                "for the work sooner."
            )
        )
    elif table.due:
        found.append(
            say(
                "The limits are not moved for what the gauges can be off: what they cannot tell counts as "
                "due."
            )
        )
    return tuple(found)


def _error(gauge: Gauge) -> str:
    if gauge.accuracy is None:
        return say(
            "How far off the {gauge} can be is not known: no reading of it is surely not due.",
            gauge=gauge.label,
        )
    most = max(band.error for band in gauge.accuracy)
    name = words.capital(gauge.label)
    if gauge.division is None:
        return say(
            "{gauge} can be off by up to {error} {measure}: its accuracy.",
            gauge=name,
            error=_up(most),
            measure=gauge.measure,
        )
    return say(
        "{gauge} can be off by up to {error} {measure}: its accuracy and half a division of its dial.",
        gauge=name,
        error=_up(most + gauge.division / 2),
        measure=gauge.measure,
    )


def _up(value: Fraction) -> str:
    """A number with the decimals it has; with more than a few rounded up."""
    for places in range(_PLACES + 1):
        if (value * 10**places).denominator == 1:
            return f"{Decimal(int(value * 10**places)).scaleb(-places):f}"
    return f"{Decimal(ceil(value * 10**_PLACES)).scaleb(-_PLACES):f}"

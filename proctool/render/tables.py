"""A table worked out for a unit, to what a manual shows of it: columns, rows, the bands of its answers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import groupby
from math import ceil, floor

from proctool.model.measures import find_measure
from proctool.model.rows import Amount, AnswerColumn, Edges, ReadingColumn, Spread, Table, Way
from proctool.model.rows import Due as Side
from proctool.render import words
from proctool.render.grid import Dial, Due, Grid, Head, Limit, Lookup, Sheet
from proctool.render.speech import fixed, say
from proctool.render.table_words import errors, how, meanings, reads, titled

_NOTHING = "—"
_PLACES = 12
"""Most decimals of a step."""
_NEXT = {Way.UP: "up", Way.DOWN: "down"}
_SIDES = {
    Side.OR_LESS: fixed("{answer}: due at this or less"),
    Side.OR_MORE: fixed("{answer}: due at this or more"),
}
_UP_TO = {Side.OR_LESS: fixed("{value} or less"), Side.OR_MORE: fixed("{value} or more")}
_PAST = {Side.OR_LESS: fixed("over {value}"), Side.OR_MORE: fixed("under {value}")}
_WITHIN = {Side.OR_LESS: fixed("over {low} to {high}"), Side.OR_MORE: fixed("under {low} to {high}")}
"""Readings up to an edge of a band, past it, and from one edge to the next."""


@dataclass(frozen=True, slots=True)
class _Column:
    title: str
    measure: str
    cells: tuple[str, ...]
    lead: bool = False
    words: bool = False


def anchor(name: str) -> str:
    """Where a table stands in the manual."""
    return f"table-{name}"


def due(said: Sequence[str], tables: Sequence[Table]) -> tuple[Due, ...]:
    """When the work is due: what the procedure says, a table by its title."""
    by_name = {f"table {table.name}": table for table in tables}
    found: list[Due] = []
    for text in said:
        table = by_name.get(text)
        if table is not None:
            found.append(Due(table.title, anchor(table.name), how(table)[0]))
        elif text.startswith("table "):
            name = words.spaced(text.removeprefix("table "))
            found.append(Due(say("By the table “{name}”, which is not worked out for this unit.", name=name)))
        else:
            found.append(Due(words.capital(text)))
    return tuple(found)


def sheets(tables: Iterable[Table], due: Iterable[Due]) -> tuple[Sheet, ...]:
    """Every table, those by which the work is due first. What stands in `due` already is not said again."""
    told = {one.target for one in due}
    return tuple(
        _sheet(table, told=anchor(table.name) in told)
        for table in sorted(tables, key=lambda table: not table.due)
    )


def _sheet(table: Table, *, told: bool) -> Sheet:
    return Sheet(
        anchor=anchor(table.name),
        condition=say("Only while {so}.", so=table.condition.rstrip(".")) if table.condition else "",
        how=how(table)[1:] if told else how(table),
        values=_grid(table.title, _values(table)),
        bands=_grid(say("What {readings} says", readings=reads(table)), _sure(table)) if table.due else None,
        meanings=meanings() if table.due else (),
        errors=errors(table),
        lookup=_lookup(table) if table.due else None,
    )


def _lookup(table: Table) -> Lookup:
    """A due table as a script reads it: the rows and edges that the page prints."""
    due = [(n, answer) for n, answer in enumerate(table.answers) if answer.due is not None]
    return Lookup(
        readings=tuple(_entry(reading) for reading in table.readings),
        answers=tuple(_entry(answer) for _, answer in due),
        less=tuple(answer.due is Side.OR_LESS for _, answer in due),
        nearby=tuple(
            tuple((_NEXT.get(way, "") if way else "") for way in answer.nearby) for _, answer in due
        ),
        rows=tuple(
            (
                tuple(_plain(number(cell.shown)) for cell in row.readings),
                tuple(_limit(answer, row.answers[n].edges) for n, answer in due),
            )
            for row in table.rows
        ),
    )


def _entry(column: ReadingColumn | AnswerColumn) -> Dial:
    gauge = column.gauge
    ends = (gauge.low, gauge.high) if gauge is not None and gauge.measure == column.measure else (None, None)
    low, high = ("" if end is None else _decimal(end) for end in ends)
    return Dial(titled(column), column.measure, low, high)


def _limit(answer: AnswerColumn, edges: Edges | None) -> Limit:
    if edges is None:
        return Limit("", "", "")
    sure, open_, soon = _printed(answer, edges)
    return Limit(_plain(sure) if _on_scale(answer, edges) else "", _plain(open_), _plain(soon))


def _plain(text: str) -> str:
    return text.replace("\N{MINUS SIGN}", "-")


def _decimal(value: Fraction) -> str:
    """A number of a scale, which is written as a decimal in the unit file."""
    places = next((n for n in range(_PLACES) if (value * 10**n).denominator == 1), _PLACES)
    return f"{Decimal(round(value * 10**places)).scaleb(-places):f}"


def _grid(caption: str, columns: Iterable[_Column]) -> Grid:
    every = list(columns)
    heads = [
        Head(title, tuple(column.measure for column in group))
        for title, group in ((title, list(group)) for title, group in groupby(every, key=lambda c: c.title))
    ]
    return Grid(
        caption=caption,
        heads=tuple(heads),
        rows=tuple(zip(*(column.cells for column in every), strict=True)),
        leads=frozenset(place for place, column in enumerate(every) if column.lead),
        words=frozenset(place for place, column in enumerate(every) if column.words),
    )


def _values(table: Table) -> Iterator[_Column]:
    """Readings and answers, each in every measure, and what the true values can be there."""
    for n, reading in enumerate(table.readings):
        cells = [row.readings[n] for row in table.rows]
        title = titled(reading)
        yield from _amounts(title, [(cell.shown, *cell.also) for cell in cells], lead=True)
        yield from _true(title, reading.measure, [cell.true for cell in cells])
    for n, answer in enumerate(table.answers):
        results = [row.answers[n] for row in table.rows]
        title = titled(answer)
        title = say(_SIDES[answer.due], answer=title) if answer.due else title
        yield from _amounts(title, [(cell.shown, *cell.also) for cell in results])
        yield from _true(title, answer.measure, [cell.true for cell in results])
        if any(cell.least or cell.most for cell in results):
            ends = tuple(_between(cell.least, cell.most) for cell in results)
            yield _Column(
                say("{answer}: least to most", answer=titled(answer)), answer.measure, ends, words=True
            )


def _amounts(title: str, rows: Sequence[tuple[Amount, ...]], *, lead: bool = False) -> Iterator[_Column]:
    """A column for each measure; the first names the row."""
    for place, amounts in enumerate(zip(*rows, strict=True)):
        cells = tuple(number(amount) for amount in amounts)
        yield _Column(title, _symbol(amounts[0]), cells, lead=lead and place == 0)


def _true(title: str, measure: str, spreads: Sequence[Spread | None]) -> Iterator[_Column]:
    """What the true values can be, where the error of a gauge is known."""
    if any(spreads):
        cells = tuple(_between(true.low, true.high) if true else _NOTHING for true in spreads)
        yield _Column(
            title, say("true, {measure}", measure=measure) if measure else say("true"), cells, words=True
        )


def _sure(table: Table) -> Iterator[_Column]:
    """What a reading of the answer's gauge says at each row."""
    for n, reading in enumerate(table.readings):
        cells = tuple(number(row.readings[n].shown) for row in table.rows)
        yield _Column(titled(reading), reading.measure, cells, lead=True)
    for n, answer in enumerate(table.answers):
        if answer.due is None:
            continue
        told = [bands(answer, row.answers[n].edges) for row in table.rows]
        for word, said in zip(meanings(), zip(*told, strict=True), strict=True):
            yield _Column(word.label, answer.measure, said, words=True)


def bands(answer: AnswerColumn, edges: Edges | None) -> tuple[str, str, str, str]:
    """Which readings of the answer's gauge are due, cannot be told, due soon, not due.

    Each edge is rounded to the step of the answer, to the side on which the work is called for sooner; the
    first one to the other side, since only what is past it is sure.
    """
    if edges is None:
        return (_NOTHING,) * 4
    due = answer.due or Side.OR_MORE
    sure, open_, soon = _printed(answer, edges)
    if not open_:
        return say(_UP_TO[due], value=sure), say(_PAST[due], value=sure), _NOTHING, _NOTHING
    if not _on_scale(answer, edges):
        first = (_NOTHING, say(_UP_TO[due], value=open_))
    else:
        first = (say(_UP_TO[due], value=sure), _within(due, sure, open_))
    return *first, _within(due, open_, soon), say(_PAST[due], value=soon)


def _within(due: Side, low: str, high: str) -> str:
    """The readings from one edge to the next; none where they are printed alike."""
    return say(_WITHIN[due], low=low, high=high) if low != high else _NOTHING


def _printed(answer: AnswerColumn, edges: Edges) -> tuple[str, str, str]:
    """The edges as printed; the last two empty where the error of a gauge is unknown."""
    less = answer.due is Side.OR_LESS
    sure = _edge(edges.sure, answer, up=not less)
    if edges.open is None or edges.soon is None:
        return sure, "", ""
    return sure, _edge(edges.open, answer, up=less), _edge(edges.soon, answer, up=less)


def _on_scale(answer: AnswerColumn, edges: Edges) -> bool:
    """Whether the last sure reading is one that the gauge can show."""
    gauge = answer.gauge
    return gauge is None or gauge.measure != answer.measure or gauge.shows(edges.sure.value)


def _edge(edge: Amount, answer: AnswerColumn, *, up: bool) -> str:
    if not answer.step:
        return number(edge)
    value = (ceil if up else floor)(edge.value / answer.step) * answer.step
    places = next(n for n in range(_PLACES + 1) if n == _PLACES or (answer.step * 10**n).denominator == 1)
    return f"{Decimal(round(value * 10**places)).scaleb(-places):f}".replace("-", "\N{MINUS SIGN}")


def _between(low: Amount | None, high: Amount | None) -> str:
    first, last = (number(end) if end else _NOTHING for end in (low, high))
    return say("{first} to {last}", first=first, last=last)


def number(amount: Amount) -> str:
    """An amount without its measure, which stands at the head of its column."""
    found = find_measure(amount.measure)
    for symbol in (amount.measure, found.shown(one=False) if found else ""):
        if symbol and amount.text.endswith(f" {symbol}"):
            return amount.text.removesuffix(f" {symbol}")
    return amount.text


def _symbol(amount: Amount) -> str:
    found = find_measure(amount.measure)
    return found.shown(one=False) if found else amount.measure

"""A plot of a due table in words: what it is, how it is read, each row of the table."""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.rows import AnswerColumn, ReadingColumn, Table
from proctool.render.speech import fixed, say
from proctool.render.table_words import titled
from proctool.render.tables import bands
from proctool.render.words import capital, clauses, commas

BANDS = {
    "due": (fixed("Due"), fixed("due {readings}")),
    "unsure": (fixed("Gauges cannot tell"), fixed("gauges cannot tell {readings}")),
    "soon": (fixed("Soon"), fixed("soon {readings}")),
    "clear": (fixed("Not due"), fixed("not due {readings}")),
}
"""The paints of the bands, their words alone and with the readings that lie in them, from due on."""


def title(table: Table, answer: AnswerColumn, reading: ReadingColumn) -> str:
    """What the plot of an answer over a reading is called."""
    upright, level = titled(answer), titled(reading)
    return say("{table}: {upright} over {level}", table=table.title, upright=upright, level=level)


def told(answer: AnswerColumn, reading: ReadingColumn) -> str:
    """How the plot is read."""
    return say(
        "Find the reading of {level} below and that of {upright} at the left. Where they meet, the work is "
        "due (filled), the gauges cannot tell (crossed), it is due soon (hatched) or not due (empty).",
        upright=titled(answer),
        level=titled(reading),
    )


def entries(table: Table, place: int, answer: AnswerColumn) -> tuple[str, ...]:
    """Each row in words: for which readings of the answer's gauge the work is in which band."""
    return tuple(_entries(table, place, answer))


def _entries(table: Table, place: int, answer: AnswerColumn) -> Iterator[str]:
    for row in table.rows:
        at = commas(
            f"{titled(column)} {cell.shown}"
            for column, cell in zip(table.readings, row.readings, strict=True)
        )
        told = zip(BANDS.values(), bands(answer, row.answers[place].edges), strict=True)
        said = clauses(say(band, readings=text) for (_, band), text in told)
        if answer.measure:
            yield capital(
                say("{readings}: {bands} ({measure}).", readings=at, bands=said, measure=answer.measure)
            )
        else:
            yield capital(say("{readings}: {bands}.", readings=at, bands=said))

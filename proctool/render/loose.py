"""Tables on sheets of their own, outside a manual, which say where they come from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from proctool.model.rows import Row, Table
from proctool.render.grid import Sheet
from proctool.render.html import Paper, document
from proctool.render.pdf import written_pdf
from proctool.render.speech import fixed, say, speaking
from proctool.render.tables import sheets
from proctool.render.view import with_plots

_UNGAUGED = fixed("How far off the readings can be is not known here: nothing is added to the limit for it.")


@dataclass(frozen=True, slots=True)
class Origin:
    """Where tables come from. What is empty is not shown."""

    title: str
    language: str = "en"
    library: str = ""
    unit: str = ""
    unit_title: str = ""
    said: tuple[str, ...] = ()
    """What the sheet is, and what it is not: sentences."""


@dataclass(frozen=True, slots=True)
class _Loose:
    """What the template reads."""

    origin: Origin
    language: str
    library: str
    sheets: tuple[Sheet, ...]
    mark: str = ""


def loose_sheets(tables: Sequence[Table], *, gauged: bool = True) -> tuple[Sheet, ...]:
    """Each table as shown, with all that is to be said of it.

    Where it is not `gauged`, so that nobody knows how far off the readings are, nothing is said of what the
    true values can be, nor which readings are surely not due.
    """
    if gauged:
        return sheets(tables, ())
    bare = (replace(table, rows=tuple(map(_as_read, table.rows))) for table in tables)
    return tuple(replace(one, bands=None, meanings=(), errors=(say(_UNGAUGED),)) for one in sheets(bare, ()))


def _as_read(row: Row) -> Row:
    """A row without what the true values can be."""
    return Row(
        tuple(replace(cell, true=None) for cell in row.readings),
        tuple(replace(cell, true=None) for cell in row.answers),
    )


def loose_pdf(
    origin: Origin, tables: Sequence[Table], paper: Paper = Paper.A4, *, gauged: bool = True
) -> bytes:
    """The tables as PDF (PDF/UA-1), each on a sheet; with their bands drawn where they are gauged."""
    with speaking(origin.language):
        every = loose_sheets(tables, gauged=gauged)
        drawn = with_plots(every, tables) if gauged else every
    shown = _Loose(origin, origin.language, origin.library, drawn)
    styles = ("tables.css", *(("letter.css",) if paper is Paper.LETTER else ()))
    source = document("loose.html.j2", "paper", styles, language=origin.language, manual=shown, tight=0)
    return written_pdf(source)

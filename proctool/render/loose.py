"""Tables on sheets of their own, outside a manual, which say where they come from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from proctool.model.rows import Table
from proctool.render.grid import Sheet
from proctool.render.html import Paper, document
from proctool.render.pdf import written_pdf
from proctool.render.tables import sheets
from proctool.render.view import with_plots


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


def loose_sheets(tables: Sequence[Table]) -> tuple[Sheet, ...]:
    """Each table as shown, with all that is to be said of it."""
    return sheets(tables, ())


def loose_pdf(origin: Origin, tables: Sequence[Table], paper: Paper = Paper.A4) -> bytes:
    """The tables as PDF (PDF/UA-1), each on a sheet of its own."""
    shown = _Loose(origin, origin.language, origin.library, with_plots(loose_sheets(tables), tables))
    styles = ("tables.css", *(("letter.css",) if paper is Paper.LETTER else ()))
    return written_pdf(document("loose.html.j2", "paper", styles, manual=shown, tight=0))

"""Tables on sheets of their own, outside a manual: what the sheet says of where they come from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from proctool.model.rows import Table
from proctool.render.grid import Sheet
from proctool.render.html import Paper, document
from proctool.render.pdf import written_pdf
from proctool.render.pictures.figure import Figure
from proctool.render.pictures.picture import PHONE
from proctool.render.pictures.plot import table_plots
from proctool.render.tables import sheets


@dataclass(frozen=True, slots=True)
class Loose:
    """A page of tables."""

    title: str
    language: str
    library: str
    unit: str
    unit_title: str
    origin: str
    """Where the tables come from, and what the sheet is not: sentences."""
    sheets: tuple[Sheet, ...]
    mark: str = ""

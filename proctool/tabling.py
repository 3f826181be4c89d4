"""Tables outside a manual: those of a procedure for a unit, or one given in a few texts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import chain

from proctool.library import Library
from proctool.model.finding import Finding, Level
from proctool.model.procedure import Procedure
from proctool.model.rows import Outcome, Table
from proctool.render.grid import Grid, Sheet
from proctool.render.html import Paper
from proctool.render.loose import Origin, loose_pdf, loose_sheets
from proctool.report.grid import Column, to_csv
from proctool.report.tables import Shown, report, to_json
from proctool.report.text import WIDTH, Paint, plain
from proctool.rules.levels import Levels
from proctool.rules.packs import RULES
from proctool.tables import compute
from proctool.tables.checks import faults
from proctool.tables.given import NO_UNIT, Given, written

_NO_RELEASE = "This sheet is a table alone and releases no work: the manual of the work holds."


@dataclass(frozen=True, slots=True)
class Tabled:
    """Tables worked out, and what is wrong with them."""

    origin: Origin
    tables: tuple[Table, ...]
    findings: tuple[Finding, ...]
    gauged: bool = True
    """Whether a gauge is known for every reading, and for an answer that is read."""
    procedure: str | None = None
    """The name of the procedure that the tables are of; None where they were given."""

    @property
    def sound(self) -> bool:
        """Whether there are tables and none has an error; only then may one work by them."""
        return bool(self.tables) and all(finding.level is not Level.ERROR for finding in self.findings)

    def to_text(self, *, width: int = WIDTH, paint: Paint = plain) -> str:
        """The tables for people."""
        of = f"{self.origin.unit}: {self.origin.unit_title}" if self.origin.unit else ""
        return report(of, [_shown(sheet) for sheet in self._sheets()], width, paint)

    def to_json(self) -> str:
        """The tables for programs, none of them where any has an error; and what is wrong with them."""
        tables = self.tables if self.sound else ()
        return to_json(self.procedure, self.origin.unit or None, tables, self.findings)

    def to_csv(self) -> str:
        """A single table for spreadsheets: readings, answers, what the true values can be, and the bands."""
        (sheet,) = self._sheets()
        bands = _columns(sheet.bands) if sheet.bands is not None else ()
        return to_csv([*_columns(sheet.values), *(column for column in bands if not column.lead)])

    def to_pdf(self, *, paper: str = "a4") -> bytes:
        """The tables on sheets; `paper` is `a4` or `letter`."""
        return loose_pdf(self.origin, self.tables, Paper(paper), gauged=self.gauged)

    def _sheets(self) -> tuple[Sheet, ...]:
        return loose_sheets(self.tables, gauged=self.gauged)


def tabled(library: Library, procedure: str, unit: str, table: str | None = None) -> Tabled:
    """The tables of a procedure for a unit, or the one of that name.

    What is wrong with a table is found as `check` finds it, but that no deviation counts here.

    Raises:
        KeyError: the library has no such procedure or unit that could be read, or it no such table.
    """
    asked = library.procedures[procedure]
    every = {name.text: (name, node) for name, node in asked.tables}
    named = every if table is None else {table: every[table]}
    model = library.units.whole[unit]
    shows = library.file.shows if library.file is not None else {}
    outcomes = [compute(name, node, model, shows) for name, node in named.values()]
    origin = Origin(
        title=f"Tables: {asked.title}",
        language=library.file.language if library.file is not None else "en",
        library=library.name or "",
        unit=model.id,
        unit_title=model.title,
        said=(f"From {_document(asked)}.", _NO_RELEASE),
    )
    return _tabled(origin, outcomes, library.levels[0], (procedure, unit))


def tabled_given(given: Given, library: Library | None = None, unit: str | None = None) -> Tabled:
    """A table given in texts; of a library are taken the measures it shows, of a unit its facts and gauges.

    Raises:
        KeyError: the library has no such unit that could be read.
    """
    model = library.units.whole[unit] if library is not None and unit is not None else NO_UNIT
    file = library.file if library is not None else None
    outcome = compute(*written(given), model, file.shows if file is not None else {})
    levels = library.levels[0] if library is not None else Levels()
    origin = Origin(
        title="Table",
        language=file.language if file is not None else "en",
        library=(library.name or "") if library is not None else "",
        unit=model.id,
        unit_title=model.title,
        said=(f"Worked out from the formula {given.formula}; from no procedure.", _NO_RELEASE),
    )
    found = _tabled(origin, [outcome], levels, (None, unit))
    return replace(found, gauged={*given.readings, *([given.answer] if given.due else [])} <= {*given.gauges})


def _tabled(
    origin: Origin, outcomes: Iterable[Outcome], levels: Levels, case: tuple[str | None, str | None]
) -> Tabled:
    every = tuple(outcomes)
    findings = []
    for fault in chain.from_iterable(map(faults, every)):
        level = levels.of(RULES[fault.kind])
        if level is not None:
            where = (fault.span.file, fault.span)
            findings.append(
                Finding(
                    fault.kind, level, fault.message, *where, procedure=case[0], unit=case[1], help=fault.help
                )
            )
    tables = tuple(t for t in every if isinstance(t, Table))
    return Tabled(origin, tables, tuple(findings), procedure=case[0])


def _document(procedure: Procedure) -> str:
    latest = max((revision.number for revision in procedure.revisions), default="")
    named = [procedure.number or procedure.name, f"revision {latest}" if latest else ""]
    return f"the procedure “{procedure.title}” ({', '.join(filter(None, named))})"


def _shown(sheet: Sheet) -> Shown:
    return Shown(
        title=sheet.values.caption,
        condition=sheet.condition,
        how=sheet.how,
        values=_columns(sheet.values),
        bands_title=sheet.bands.caption if sheet.bands is not None else "",
        bands=_columns(sheet.bands) if sheet.bands is not None else (),
        meanings=tuple((pair.label, pair.value) for pair in sheet.meanings),
        errors=sheet.errors,
    )


def _columns(grid: Grid) -> tuple[Column, ...]:
    heads = [(head.title, measure) for head in grid.heads for measure in head.measures]
    cells = list(zip(*grid.rows, strict=True)) or [()] * len(heads)
    return tuple(
        Column(title, measure, tuple(cells[n]), lead=n in grid.leads, words=n in grid.words)
        for n, (title, measure) in enumerate(heads)
    )

"""The page of a unit: its manuals, energies, diagram and parts, and what cannot be opened safely on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proctool.model.survey import Blind, Reach, Survey
from proctool.model.unit import Part, Unit
from proctool.model.words import Control, Depth, Lock, Position, Role
from proctool.render import words
from proctool.render.grid import Pair
from proctool.render.html import document
from proctool.render.item import Hazard
from proctool.render.meeting import hazard, unique
from proctool.render.pictures.diagram import energy_diagram
from proctool.render.pictures.figure import Figure, figure
from proctool.render.site.entries import Entry, Site, anchor
from proctool.render.speech import fixed, say

_LOCKS = {
    Lock.HASP: fixed("lock through its hasp"),
    Lock.COVER: fixed("lock on its cover"),
    Lock.CABLE: fixed("lock on its cable"),
    Lock.NONE: fixed("CANNOT BE LOCKED"),
}
_DEPTHS = {
    Depth.SINGLE: fixed("one isolator"),
    Depth.DOUBLE: fixed("two isolators in a row"),
    Depth.DOUBLE_BLOCK_AND_BLEED: fixed("two isolators and an open bleed between them"),
}
_SAID = {
    "seal": fixed("Seal"),
    "tighten": fixed("Tighten to"),
    "cartridge": fixed("Cartridge"),
    "part_number": fixed("Part number"),
}
"""Properties of parts that stand in the table where a unit has them."""


@dataclass(frozen=True, slots=True)
class Line:
    """One row of a table: the name in front, and its cells by their heads."""

    name: str
    anchor: str
    """Empty for what no link leads to."""
    cells: tuple[Pair, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table of lines with the same heads."""

    heading: str
    anchor: str
    caption: str
    head: str
    """What its first column holds."""
    lines: tuple[Line, ...]

    @property
    def heads(self) -> tuple[str, ...]:
        """All its heads but the first."""
        return tuple(cell.label for cell in self.lines[0].cells)


@dataclass(frozen=True, slots=True)
class UnitPage:
    """All that the page of a unit shows."""

    unit: str
    title: str
    known: tuple[Pair, ...]
    walked: bool
    """Whether somebody went round the unit with its file."""
    entries: tuple[Entry, ...]
    hazards: tuple[Hazard, ...]
    unwarned: str
    diagram: Figure
    energies: Table
    parts: tuple[Table, ...]
    blind: tuple[tuple[str, tuple[str, ...]], ...]
    """Parts that cannot be opened safely, and why."""


def page(site: Site, survey: Survey) -> str:
    """The page of one unit of a library."""
    unit = survey.unit
    entries = sorted((e for e in site.entries if e.unit == unit.id), key=lambda e: (e.title, e.procedure))
    silent = [energy.name for energy in unit.energies.values() if energy.warning is None]
    checked = unit.checked
    shown = UnitPage(
        unit=unit.id,
        title=unit.title,
        known=tuple(_known(unit)),
        walked=checked is not None and bool(checked.by and checked.date),
        entries=tuple(entries),
        hazards=unique([hazard(e.warning) for e in unit.energies.values() if e.warning]),
        unwarned=words.listed(silent),
        diagram=figure(lambda width: energy_diagram(unit, width=width)),
        energies=_energies(unit),
        parts=tuple(table for table in _tables(survey) if table.lines),
        blind=tuple(_blind(unit, blind) for blind in survey.blind),
    )
    return document(
        "site_unit.html.j2",
        "screen",
        ("site.css",),
        language=site.language,
        library=site.library,
        page=shown,
        compare=say(words.COMPARE),
    )


def _known(unit: Unit) -> Iterator[Pair]:
    checked = unit.checked
    yield Pair(say("Family"), unit.family or say("none"))
    alone = unit.control is Control.EXCLUSIVE
    how = say("under the control of its one plug") if alone else say("under lockout")
    yield Pair(say("Worked on"), how)
    if checked:
        said = (
            Pair(say("Walked by"), words.walked(checked)),
            Pair(say("Drawing"), checked.drawing),
            Pair(say("Serial numbers"), checked.serials),
        )
        yield from (pair for pair in said if pair.value)


def _energies(unit: Unit) -> Table:
    lines = tuple(
        Line(
            words.capital(energy.name),
            "",
            (
                Pair(say("Kind"), say(words.FORMS[energy.form])),
                Pair(
                    say("In service"),
                    energy.normal or (say("brought in") if energy.brought else say("not stated")),
                ),
                Pair(say("Zero is"), energy.safe or say("not stated")),
                Pair(say("Cut off by"), say(_DEPTHS[energy.depth])),
            ),
        )
        for energy in unit.energies.values()
    )
    return Table(
        say("Energies"), "energies", say("Every energy that the unit file names"), say("Energy"), lines
    )


def _tables(survey: Survey) -> Iterator[Table]:
    """Isolators, ways out, gauges and the rest: every part stands in one of them."""
    parts = survey.unit.parts.values()
    yield Table(
        say("Isolators"),
        "isolators",
        say("What each feeds no longer when it alone is off. What is trapped there stays"),
        say("Isolator"),
        tuple(_isolator(survey, part) for part in parts if part.role is Role.ISOLATOR),
    )
    yield Table(
        say("Ways out"),
        "vents",
        say("What each surely lets out, once that is isolated"),
        say("Vent"),
        tuple(_vent(survey, part) for part in parts if part.role is Role.VENT),
    )
    yield Table(
        say("Gauges and testers"),
        "gauges",
        say("What each surely shows, once that is isolated"),
        say("Gauge"),
        tuple(_gauge(survey, part) for part in parts if part.role is Role.GAUGE),
    )
    rest = [part for part in parts if part.role not in {Role.ISOLATOR, Role.VENT, Role.GAUGE}]
    said = {name: say(label) for name, label in _SAID.items() if any(part.text(name) for part in rest)}
    yield Table(
        say("Other parts"),
        "parts",
        say("As the unit file names them"),
        say("Part"),
        tuple(_part(survey.unit, part, said) for part in rest),
    )


def _isolator(survey: Survey, part: Part) -> Line:
    spare = part.normal is Position.OFF
    reached = _reached(survey, survey.isolators, part, fixed("{energy} to the {parts}"))
    return _line(
        part,
        Pair(say("Kind"), words.term(part.device) if part.device else say("not stated")),
        Pair(say("Where"), part.text("place") or say("not stated")),
        Pair(say("Lock"), _lock(survey.unit, part)),
        Pair(say("In service"), say("off") if spare else say("on")),
        Pair(say("Feeds"), say("{what}, once it is on", what=reached) if spare else reached),
    )


def _lock(unit: Unit, part: Part) -> str:
    held = unit.control is Control.EXCLUSIVE or part.exclusive_control
    kept = held and part.lock is Lock.NONE
    said = say("not locked: kept in hand or in sight") if kept else say(_LOCKS[part.lock])
    return words.operated(part, said)


def _vent(survey: Survey, part: Part) -> Line:
    return _line(
        part,
        Pair(say("Where"), part.text("place") or say("not stated")),
        Pair(say("Leads to"), part.text("to") or say("not stated")),
        Pair(say("Lets out"), _reached(survey, survey.vents, part)),
    )


def _gauge(survey: Survey, part: Part) -> Line:
    return _line(
        part,
        Pair(say("Usual reading"), part.usual or say("not stated")),
        Pair(say("Range"), part.text("span") or say("not stated")),
        Pair(say("Shows"), _reached(survey, survey.gauges, part)),
    )


def _part(unit: Unit, part: Part, said: dict[str, str]) -> Line:
    here = {energy for line in unit.lines.values() if part.id in line.path for energy in line.energies}
    names = words.listed(energy.name for energy in unit.energies.values() if energy.id in here)
    return _line(
        part,
        Pair(say("Kind"), words.term(part.role)),
        Pair(say("Meets"), names or say("no energy")),
        *(Pair(label, part.text(name) or "\N{EN DASH}") for name, label in said.items()),
    )


def _line(part: Part, *cells: Pair) -> Line:
    return Line(words.capital(part.label), anchor("part", part.id), cells)


def _reached(
    survey: Survey, reaches: Sequence[Reach], part: Part, said: str = fixed("{energy} of the {parts}")
) -> str:
    """What a device does to each energy: `water of the sediment housing and carbon housing`."""
    energies, parts = survey.unit.energies, survey.unit.parts
    told = [
        say(
            said,
            energy=energies[reach.energy].name,
            parts=words.listed(parts[name].label for name in reach.parts),
        )
        for reach in reaches
        if reach.device == part.id and reach.parts
    ]
    return words.clauses(told) or say("nothing by itself")


def _blind(unit: Unit, blind: Blind) -> tuple[str, tuple[str, ...]]:
    return words.capital(words.listed(unit.parts[name].label for name in blind.parts)), blind.lacks

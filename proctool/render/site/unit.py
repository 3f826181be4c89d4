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
from proctool.render.manual import Hazard
from proctool.render.meeting import hazard, unique
from proctool.render.pictures.diagram import energy_diagram
from proctool.render.pictures.figure import Figure, figure
from proctool.render.site.entries import Entry, Site, anchor

_LOCKS = {
    Lock.HASP: "lock through its hasp",
    Lock.COVER: "lock on its cover",
    Lock.CABLE: "lock on its cable",
    Lock.NONE: "CANNOT BE LOCKED",
}
_DEPTHS = {
    Depth.SINGLE: "one isolator",
    Depth.DOUBLE: "two isolators in a row",
    Depth.DOUBLE_BLOCK_AND_BLEED: "two isolators and an open bleed between them",
}
_SAID = {"seal": "Seal", "tighten": "Tighten to", "cartridge": "Cartridge", "part_number": "Part number"}
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
        compare=words.COMPARE,
    )


def _known(unit: Unit) -> Iterator[Pair]:
    checked = unit.checked
    yield Pair("Family", unit.family or "none")
    alone = unit.control is Control.EXCLUSIVE
    yield Pair("Worked on", "under the control of its one plug" if alone else "under lockout")
    if checked:
        walked = " on ".join(text for text in (checked.by, checked.date) if text)
        said = (("Walked by", walked), ("Drawing", checked.drawing), ("Serial numbers", checked.serials))
        yield from (Pair(label, value) for label, value in said if value)


def _energies(unit: Unit) -> Table:
    lines = tuple(
        Line(
            words.capital(energy.name),
            "",
            (
                Pair("Kind", words.FORMS[energy.form]),
                Pair("In service", energy.normal or ("brought in" if energy.brought else "not stated")),
                Pair("Zero is", energy.safe or "not stated"),
                Pair("Cut off by", _DEPTHS[energy.depth]),
            ),
        )
        for energy in unit.energies.values()
    )
    return Table("Energies", "energies", "Every energy that the unit file names", "Energy", lines)


def _tables(survey: Survey) -> Iterator[Table]:
    """Isolators, ways out, gauges and the rest: every part stands in one of them."""
    parts = survey.unit.parts.values()
    yield Table(
        "Isolators",
        "isolators",
        "What each feeds no longer when it alone is off. What is trapped there stays",
        "Isolator",
        tuple(_isolator(survey, part) for part in parts if part.role is Role.ISOLATOR),
    )
    yield Table(
        "Ways out",
        "vents",
        "What each surely lets out, once that is isolated",
        "Vent",
        tuple(_vent(survey, part) for part in parts if part.role is Role.VENT),
    )
    yield Table(
        "Gauges and testers",
        "gauges",
        "What each surely shows, once that is isolated",
        "Gauge",
        tuple(_gauge(survey, part) for part in parts if part.role is Role.GAUGE),
    )
    rest = [part for part in parts if part.role not in {Role.ISOLATOR, Role.VENT, Role.GAUGE}]
    said = {name: label for name, label in _SAID.items() if any(part.text(name) for part in rest)}
    yield Table(
        "Other parts",
        "parts",
        "As the unit file names them",
        "Part",
        tuple(_part(survey.unit, part, said) for part in rest),
    )


def _isolator(survey: Survey, part: Part) -> Line:
    spare = part.normal is Position.OFF
    reached = _reached(survey, survey.isolators, part, "to")
    return _line(
        part,
        Pair("Kind", words.spaced(part.device.value) if part.device else "not stated"),
        Pair("Where", part.text("place") or "not stated"),
        Pair("Lock", _lock(survey.unit, part)),
        Pair("In service", "off" if spare else "on"),
        Pair("Feeds", f"{reached}, once it is on" if spare else reached),
    )


def _lock(unit: Unit, part: Part) -> str:
    held = unit.control is Control.EXCLUSIVE or part.exclusive_control
    said = "not locked: kept in hand or in sight" if held and part.lock is Lock.NONE else _LOCKS[part.lock]
    return f"{said}; the site operates it" if part.site else said


def _vent(survey: Survey, part: Part) -> Line:
    return _line(
        part,
        Pair("Where", part.text("place") or "not stated"),
        Pair("Leads to", part.text("to") or "not stated"),
        Pair("Lets out", _reached(survey, survey.vents, part)),
    )


def _gauge(survey: Survey, part: Part) -> Line:
    return _line(
        part,
        Pair("Usual reading", part.usual or "not stated"),
        Pair("Range", part.text("span") or "not stated"),
        Pair("Shows", _reached(survey, survey.gauges, part)),
    )


def _part(unit: Unit, part: Part, said: dict[str, str]) -> Line:
    here = {energy for line in unit.lines.values() if part.id in line.path for energy in line.energies}
    names = words.listed(energy.name for energy in unit.energies.values() if energy.id in here)
    return _line(
        part,
        Pair("Kind", words.spaced(part.role.value)),
        Pair("Meets", names or "no energy"),
        *(Pair(label, part.text(name) or "\N{EN DASH}") for name, label in said.items()),
    )


def _line(part: Part, *cells: Pair) -> Line:
    return Line(words.capital(part.label), anchor("part", part.id), cells)


def _reached(survey: Survey, reaches: Sequence[Reach], part: Part, link: str = "of") -> str:
    """What a device does to each energy: `water of the sediment housing and carbon housing`."""
    energies, parts = survey.unit.energies, survey.unit.parts
    told = [
        f"{energies[reach.energy].name} {link} the {words.listed(parts[name].label for name in reach.parts)}"
        for reach in reaches
        if reach.device == part.id and reach.parts
    ]
    return "; ".join(told) or "nothing by itself"


def _blind(unit: Unit, blind: Blind) -> tuple[str, tuple[str, ...]]:
    return words.capital(words.listed(unit.parts[name].label for name in blind.parts)), blind.lacks

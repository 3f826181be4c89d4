"""The energy diagram of a unit: its parts from left to right as energy runs, with the tags that are on it."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations, count
from typing import TypeAlias

from proctool.model.unit import Unit
from proctool.model.words import Form, Role
from proctool.render.pictures.cells import Pen
from proctool.render.pictures.diagram_words import entries, told
from proctool.render.pictures.legend import legend, testers
from proctool.render.pictures.network import Drawn, drawn, groups, layers
from proctool.render.pictures.overlay import Overlay
from proctool.render.pictures.palette import WIRES
from proctool.render.pictures.picture import PAGE, Mark, Picture
from proctool.render.pictures.places import Band, Letter, bands, letters
from proctool.render.pictures.sheet import Sheet, fixed
from proctool.render.pictures.wires import Routes, route
from proctool.render.speech import say

_NARROW, _WIDE = 98.0, 150.0
"""Least and greatest width of a column."""
_FEWEST = 2
"""Columns of a band, however narrow the picture."""
_BAND_GAP = 26.0
_SHIFT = 7.0
"""From energy to energy where several meet at a part."""

_STYLES: Mapping[Form, int] = {
    Form.LIQUID_PRESSURE: 0,
    Form.ELECTRICITY: 1,
    Form.HEAT: 2,
    Form.STEAM: 3,
    Form.GAS_PRESSURE: 4,
    Form.SPRING: 5,
    Form.RADIATION: 6,
    Form.VACUUM: 7,
    Form.GRAVITY: 8,
    Form.MOTION: 9,
    Form.CHEMICAL: 10,
}
"""The line style of each form of energy, where another energy has not taken it: our own choice."""

Laid: TypeAlias = tuple[tuple[Band, Routes], ...]


def energy_diagram(unit: Unit, *, overlay: Overlay | None = None, width: float = PAGE) -> Picture:
    """The energy diagram of a unit, `width` wide where its lines leave room for that.

    With an `overlay` each part shows what it holds and how it stands. Parts, wires and states are groups that
    name what they stand for in `data-` attributes; beside the state shown stand the others, hidden.
    """
    every = drawn(unit)
    laid = _lay_out(unit, every, width)
    columns = max(band.columns for band, _ in laid)
    around = max(fixed(band, routes) for band, routes in laid)
    column = min(max((width - around) / columns, _NARROW), _WIDE)
    on = _energies(unit, every)
    pen = Pen(unit, every, overlay, on, _paints(unit), _shifts(unit, every), column)
    whole = max(width, *(fixed(band, routes) + band.columns * column for band, routes in laid))
    marks: list[Mark] = []
    at = 4.0
    for place, (band, routes) in enumerate(laid):
        sheet = Sheet(pen, band, routes, at + (_BAND_GAP if place else 0))
        marks += sheet.marks()
        at = sheet.bottom
    for strip in (testers, legend):
        more, at = strip(pen, whole, at)
        marks += more
    lettered = any(isinstance(spot, Letter) for band, _ in laid for spot in band.column)
    return Picture(
        kind="energy-diagram",
        title=say("Energy diagram of {unit}, {title}", unit=unit.id, title=unit.title),
        told=told(overlay, lettered=lettered),
        entries=entries(unit, on, overlay),
        width=whole,
        height=at + 2,
        marks=tuple(marks),
    )


def _lay_out(unit: Unit, every: Drawn, width: float) -> Laid:
    """The bands with as many columns as fit; fewer where their gutters are wide."""
    most = max(_FEWEST, int(width // _NARROW))
    laid = _bands(unit, every, most)
    while most > _FEWEST and any(fixed(b, r) + b.columns * _NARROW > width for b, r in laid):
        most -= 1
        laid = _bands(unit, every, most)
    return laid


def _bands(unit: Unit, every: Drawn, most: int) -> Laid:
    names = letters()
    paths = [line.path for line in unit.lines.values()]
    found: list[tuple[Band, Routes]] = []
    for group in groups(every.parts, every.wires):
        own = [wire for wire in every.wires if wire.start in group]
        found += ((band, route(band)) for band in bands(layers(group, own), own, paths, most, names))
    return tuple(found)


def _energies(unit: Unit, every: Drawn) -> dict[str, tuple[str, ...]]:
    """The energies on whose lines each part stands, in file order; of a gauge also the one it reads."""
    found: dict[str, tuple[str, ...]] = {}
    for part in unit.parts.values():
        here = {e for line in unit.lines.values() if part.id in line.path for e in line.energies}
        here |= set(every.hung.get(part.id, ()))
        if part.role is Role.GAUGE and part.energy:
            here.add(part.energy)
        found[part.id] = tuple(energy for energy in unit.energies if energy in here)
    return found


def _paints(unit: Unit) -> dict[str, str]:
    """A line style for each energy: that of its form, else the next free one."""
    found: dict[str, str] = {}
    for energy in unit.energies.values():
        first = _STYLES[energy.form]
        order = [*WIRES[first:], *WIRES[:first]]
        found[energy.id] = next((style for style in order if style not in found.values()), order[0])
    return found


def _shifts(unit: Unit, every: Drawn) -> dict[str, float]:
    """How far below the middle of a row each energy runs: apart from all that it meets at some part."""
    meeting: dict[str, set[str]] = {}
    for wire in every.wires:
        for name in (wire.start, wire.end):
            meeting.setdefault(name, set()).update(wire.energies)
    pairs = {frozenset(pair) for here in meeting.values() for pair in combinations(sorted(here), 2)}
    track: dict[str, int] = {}
    for energy in unit.energies:
        taken = {track[other] for other in track if frozenset((energy, other)) in pairs}
        track[energy] = next(n for n in count() if n not in taken)
    middle = max(track.values(), default=0) / 2
    return {energy: (n - middle) * _SHIFT for energy, n in track.items()}

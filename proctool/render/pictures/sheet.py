"""One band of an energy diagram on paper: where its rows and gutters lie, its wires, its cells."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from proctool.model.unit import Unit
from proctool.model.words import Role
from proctool.render.pictures.cells import ASIDE, Cell, Pen
from proctool.render.pictures.picture import Circle, Group, Label, Mark, Path, path
from proctool.render.pictures.places import Band, Letter, Spot
from proctool.render.pictures.wires import Riser, Routes, Stop

_MARGIN = 22.0
"""Width of a column of letters."""
_GUTTER, _SLOT = 14.0, 7.0
_GAP = 14.0
"""Between two rows."""
_LETTER = 9.0
_DOT = 3.0


def gutter(routes: Routes, number: int) -> float:
    """How wide the gutter left of a column is."""
    return _GUTTER + _SLOT * max(routes.slots.get(number, 0) - 1, 0)


def fixed(band: Band, routes: Routes) -> float:
    """The width of a band without its columns."""
    return 2 * _MARGIN + sum(gutter(routes, n) for n in range(band.columns + 1))


@dataclass(slots=True)
class Sheet:
    """A band whose upper end is at `top`."""

    pen: Pen
    band: Band
    routes: Routes
    top: float
    bottom: float = 0.0
    _x: dict[int, float] = field(default_factory=dict)
    """Middle of each column."""
    _left: dict[int, float] = field(default_factory=dict)
    """Left edge of each gutter."""
    _y: list[float] = field(default_factory=list)
    """Middle of each row."""
    _ceiling: list[float] = field(default_factory=list)
    """Upper end of each row, and of what lies below the last."""
    _cells: dict[Spot, Cell] = field(default_factory=dict)

    def __post_init__(self) -> None:
        at = _MARGIN
        self._x[-1] = _MARGIN / 2
        for number in range(self.band.columns + 1):
            self._left[number] = at
            at += gutter(self.routes, number)
            wide = self.pen.width if number < self.band.columns else _MARGIN
            self._x[number] = at + wide / 2
            at += wide
        letter = Cell(_LETTER, _LETTER, _LETTER)
        self._cells = {s: letter if isinstance(s, Letter) else self.pen.cell(s) for s in self.band.column}
        at = self.top
        for row in range(self.band.rows):
            here = [self._cells[spot] for spot, its in self.band.row.items() if its == row]
            at += self._lanes(row) + (_GAP if row else 0)
            self._ceiling.append(at)
            self._y.append(at + max(cell.up for cell in here))
            at = self._y[-1] + max(cell.down for cell in here)
        below = self._lanes(self.band.rows)
        self.bottom = at + (below + _GAP if below else 0)
        self._ceiling.append(self.bottom)

    def _lanes(self, row: int) -> float:
        return self.routes.lane_count.get(row, 0) * _SLOT

    def marks(self) -> tuple[Mark, ...]:
        """Wires, the dots where they join, then the cells over them."""
        cells = (self._cell(spot) for spot in self.band.column)
        return (*self._straight(), *self._risers(), *self._lane_marks(), *self._dots(), *cells)

    def _cell(self, spot: Spot) -> Group:
        x, y = self._x[self.band.column[spot]], self._y[self.band.row[spot]]
        if isinstance(spot, Letter):
            y += self._lift(spot)
            size = 9.5 if len(spot.text) == 1 else 8
            inside = (Circle(x, y, _LETTER, "body"), Label(x, y + 0.37 * size, spot.text, size, bold=True))
            return Group("letter", inside, (("letter", spot.text),))
        return self.pen.group(spot, x, y, turned=self._turned(spot))

    def _lift(self, letter: Letter) -> float:
        """How far below the middle of its row a letter stands: with its wires, if all run at one height."""
        wires = (link.wire for link in self.band.links if letter in {link.start, link.end})
        heights = {self.pen.shift[energy] for wire in wires for energy in wire.energies}
        return heights.pop() if len(heights) == 1 else 0.0

    def _turned(self, name: str) -> bool:
        """Whether a symbol faces left: energy comes to it, or goes from it, on the other side than usual."""
        starts = {link.wire.end for link in self.band.links if link.wire.start == name}
        ends = {link.wire.start for link in self.band.links if link.wire.end == name}
        role = self.pen.unit.parts[name].role
        if role is Role.SOURCE:
            return bool(ends) and not starts
        if role is Role.OUTLET:
            return bool(starts) and not ends
        return bool(starts & _before(self.pen.unit, name)) and not ends & _before(self.pen.unit, name)

    def _edge(self, spot: Spot, *, right: bool) -> float:
        """Where a wire meets a spot."""
        middle, half = self._x[self.band.column[spot]], self._cells[spot].half
        if isinstance(spot, str) and self.pen.unit.parts[spot].role is Role.RESTRICTION:
            half = 0  # its arcs stand on both sides of the wire
        return middle + (half if right else -half)

    def _straight(self) -> Iterator[Mark]:
        for link, energy in self.routes.straight:
            y = self._y[self.band.row[link.start]] + self.pen.shift[energy]
            ends = ((self._edge(link.start, right=True), y), (self._edge(link.end, right=False), y))
            yield self._wire(energy, path(*ends), link.start, link.end)

    def _risers(self) -> Iterator[Mark]:
        for riser in self.routes.risers:
            x = self._slot(riser)
            heights = [self._height(riser, stop) for stop in riser.stops]
            pieces = [path((x, min(heights)), (x, max(heights)))]
            stops = sorted(riser.stops, key=lambda s: (s.row, s.left))
            for stop in stops:
                if stop.spot is not None:
                    y = self._height(riser, stop)
                    pieces.append(path((x, y), (self._edge(stop.spot, right=stop.left), y)))
            yield self._wire(riser.energy, " ".join(pieces), *(s.spot for s in stops if s.spot is not None))

    def _lane_marks(self) -> Iterator[Mark]:
        for lane in self.routes.lanes:
            y = self._lane_height(lane.gap, lane.place)
            data = path((self._slot(lane.start), y), (self._slot(lane.end), y))
            spots = [stop.spot for riser in (lane.start, lane.end) for stop in riser.stops if stop.spot]
            yield self._wire(lane.energy, data, *spots)

    def _wire(self, energy: str, data: str, *spots: Spot) -> Group:
        named = " ".join(spot.text if isinstance(spot, Letter) else spot for spot in spots)
        return Group("wire", (Path(data, self.pen.paints[energy]),), (("energy", energy), ("joins", named)))

    def _slot(self, riser: Riser) -> float:
        return self._left[riser.gutter] + _GUTTER / 2 + (riser.slot - 1) * _SLOT

    def _lane_height(self, gap: int, place: int) -> float:
        count = self.routes.lane_count[gap]
        return self._ceiling[gap] - _GAP / 2 - (count - place) * _SLOT

    def _height(self, riser: Riser, stop: Stop) -> float:
        if stop.spot is None:
            lane = next(lane for lane in self.routes.lanes if lane.start is riser or lane.end is riser)
            return self._lane_height(lane.gap, lane.place)
        aside = ASIDE if stop.row in riser.aside and not stop.left else 0
        return self._y[int(stop.row)] + self.pen.shift[riser.energy] + aside

    def _dots(self) -> Iterator[Mark]:
        """A dot wherever three stretches of one wire meet."""
        ends: dict[tuple[Spot, str, bool], list[float]] = {}
        through = {(link.start, energy, True) for link, energy in self.routes.straight}
        through |= {(link.end, energy, False) for link, energy in self.routes.straight}
        for riser in self.routes.risers:
            for stop in riser.stops:
                if stop.spot is not None and (stop.left or stop.row not in riser.aside):
                    ends.setdefault((stop.spot, riser.energy, stop.left), []).append(self._slot(riser))
        dots: set[tuple[float, float]] = set()
        for riser in self.routes.risers:
            x = self._slot(riser)
            for stop in riser.stops:
                if stop.spot is None:
                    continue
                key = (stop.spot, riser.energy, stop.left)
                others = ends.get(key, [])
                passes = any(other > x if stop.left else other < x for other in others)
                if key in through or passes or riser.low < stop.row < riser.high:
                    dots.add((x, self._height(riser, stop)))
        yield from (Circle(x, y, _DOT, "solid") for x, y in sorted(dots))


def _before(unit: Unit, name: str) -> set[str]:
    """The parts right before one on its lines."""
    return {a for line in unit.lines.values() for a, b in pairwise(line.path) if b == name}

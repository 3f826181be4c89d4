"""How the wires of a band run: along rows, and up and down in the gutters between columns.

A wire meets no cell but its own two, so it crosses no label. In a gutter wires stand side by side in *slots*;
a wire that fits no row runs in a *lane* between two rows. Where two wires would lie on one another, one of
them is moved, so that what is drawn as joined is joined. Wires of one energy that leave one part on one side
may share their first stretch, as pipes do behind a tee.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import networkx as nx

from proctool.render.pictures.places import Band, Link, Spot


@dataclass(frozen=True, slots=True)
class Stop:
    """Where a riser is met: a row, and the side from which."""

    row: float
    """A whole number is a row, a half is the lane above the next row."""
    left: bool
    spot: Spot | None
    """The part or letter at that end; None for a lane."""


@dataclass(slots=True)
class Riser:
    """A stretch up and down in a gutter, with all that it joins."""

    gutter: int
    """Left of the column of that number."""
    energy: str
    stops: set[Stop] = field(default_factory=set)
    slot: int = 0
    aside: set[float] = field(default_factory=set)
    """Rows that it enters a little below the middle, out of the way of another wire."""

    @property
    def low(self) -> float:
        """The upper end, as a row."""
        return min(stop.row for stop in self.stops)

    @property
    def high(self) -> float:
        """The lower end, as a row."""
        return max(stop.row for stop in self.stops)


@dataclass(slots=True)
class Lane:
    """A stretch along a lane, between two risers."""

    gap: int
    """Above the row of that number."""
    energy: str
    start: Riser
    end: Riser
    place: int = 0


@dataclass(frozen=True, slots=True)
class Routes:
    """All stretches of a band."""

    straight: tuple[tuple[Link, str], ...]
    """Links that run in one row, with the energy."""
    risers: tuple[Riser, ...]
    lanes: tuple[Lane, ...]
    slots: Mapping[int, int]
    """How many wires stand side by side in each gutter."""
    lane_count: Mapping[int, int]
    """How many lanes lie above each row."""


def route(band: Band) -> Routes:
    """The stretches of all wires of a band."""
    planner = _Planner(band)
    for link in band.links:
        planner.add(link)
    return planner.done()


@dataclass(slots=True)
class _Planner:
    band: Band
    taken: dict[tuple[int, int], Link | None] = field(default_factory=dict)
    straight: list[tuple[Link, str]] = field(default_factory=list)
    risers: dict[tuple[int, str, object], Riser] = field(default_factory=dict)
    lanes: list[Lane] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.taken = {(self.band.column[spot], self.band.row[spot]): None for spot in self.band.column}
        for link in self.band.links:
            if self.band.row[link.start] == self.band.row[link.end]:
                way = self._way(link, self.band.row[link.start])
                if all(cell not in self.taken for cell in way):
                    self.taken |= dict.fromkeys(way, link)

    def _way(self, link: Link, row: int) -> list[tuple[int, int]]:
        """The cells between the two ends of a link, in a row."""
        start, end = self.band.column[link.start], self.band.column[link.end]
        return [(at, row) for at in range(start + 1, end)]

    def _claim(self, link: Link, row: int) -> bool:
        way = self._way(link, row)
        if any(self.taken.get(cell, link) is not link for cell in way):
            return False
        self.taken |= dict.fromkeys(way, link)
        return True

    def add(self, link: Link) -> None:
        """Plan one link: in its row, by one riser, or by two and a lane between them."""
        start, end = self.band.row[link.start], self.band.row[link.end]
        if start == end and self._claim(link, start):
            self.straight += [(link, energy) for energy in link.wire.energies]
            return
        first, last = self.band.column[link.start] + 1, self.band.column[link.end]
        head, tail = Stop(start, left=True, spot=link.start), Stop(end, left=False, spot=link.end)
        if start != end and self._claim(link, end):
            self._rise(link, first, link.start, head, tail)
        elif start != end and self._claim(link, start):
            self._rise(link, last, link.end, head, tail)
        else:
            gap = end if start < end else end + 1
            for energy in link.wire.energies:
                up = self._riser(energy, first, link, head, Stop(gap - 0.5, left=False, spot=None))
                down = self._riser(energy, last, (link, 1), Stop(gap - 0.5, left=True, spot=None), tail)
                self.lanes.append(Lane(gap, energy, up, down))

    def _rise(self, link: Link, gutter: int, key: Spot, head: Stop, tail: Stop) -> None:
        for energy in link.wire.energies:
            self._riser(energy, gutter, key, head, tail)

    def _riser(self, energy: str, gutter: int, key: object, *stops: Stop) -> Riser:
        riser = self.risers.setdefault((gutter, energy, key), Riser(gutter, energy))
        riser.stops |= set(stops)
        return riser

    def done(self) -> Routes:
        """Put the stretches side by side."""
        slots: dict[int, int] = {}
        for gutter in sorted({riser.gutter for riser in self.risers.values()}):
            here = [riser for riser in self.risers.values() if riser.gutter == gutter]
            slots[gutter] = _stand(here)
        lane_count = _lie(self.lanes)
        return Routes(tuple(self.straight), tuple(self.risers.values()), tuple(self.lanes), slots, lane_count)


def _stand(risers: Sequence[Riser]) -> int:
    """Give the risers of a gutter their slots; how many it has.

    What leaves a row to the right of where another enters it would lie on that one: it stands further left.
    Where that leads in a circle, the one that enters does so a little lower.
    """
    order: nx.DiGraph[int] = nx.DiGraph()
    order.add_nodes_from(range(len(risers)))
    for i, one in enumerate(risers):
        for j, other in enumerate(risers):
            for row in sorted(_rows(one, left=True) & _rows(other, left=False)) if i != j else ():
                if nx.has_path(order, j, i):
                    other.aside.add(row)
                else:
                    order.add_edge(i, j)
    for i in nx.lexicographical_topological_sort(order, key=lambda n: (risers[n].high - risers[n].low, n)):
        riser = risers[i]
        least = max((risers[j].slot + 1 for j in order.predecessors(i)), default=1)
        placed = [r for r in risers if r.slot and r.low <= riser.high and riser.low <= r.high]
        riser.slot = _first_free(least, {r.slot for r in placed})
    return max(riser.slot for riser in risers)


def _rows(riser: Riser, *, left: bool) -> set[float]:
    return {stop.row for stop in riser.stops if stop.left is left and stop.spot is not None}


def _lie(lanes: Sequence[Lane]) -> dict[int, int]:
    """Give the lanes their places between two rows; how many there are above each row."""
    found: dict[int, int] = {}
    for n, lane in enumerate(lanes):
        beside = [
            other.place
            for other in lanes[:n]
            if other.gap == lane.gap
            and other.start.gutter <= lane.end.gutter
            and lane.start.gutter <= other.end.gutter
        ]
        lane.place = _first_free(1, set(beside))
        found[lane.gap] = max(found.get(lane.gap, 0), lane.place)
    return found


def _first_free(least: int, taken: Iterable[int]) -> int:
    used = set(taken)
    while least in used:
        least += 1
    return least

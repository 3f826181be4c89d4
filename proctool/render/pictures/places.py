"""Where each part of a diagram stands: layers folded into bands as text is into lines, and a row in its band.

A wire that leads to a later band ends at a letter, and goes on from the same letter there.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import count, pairwise
from typing import TypeAlias

from proctool.render.pictures.network import Wire

_FAR = 8
"""Rows that are tried with a clear way to what a chain joins, before any clear row is taken."""


@dataclass(frozen=True, slots=True)
class Letter:
    """Where a wire goes on in another band."""

    text: str
    leaves: bool
    """Whether it stands at the end of its band; else at the start."""


Spot: TypeAlias = str | Letter
"""What stands in a cell: a part, or a letter."""


@dataclass(frozen=True, slots=True)
class Link:
    """A wire inside one band."""

    start: Spot
    end: Spot
    wire: Wire


@dataclass(frozen=True, slots=True)
class Band:
    """One band: columns 0 to `columns` - 1 for parts, one before and one after them for letters."""

    columns: int
    column: Mapping[Spot, int]
    row: Mapping[Spot, int]
    rows: int
    links: tuple[Link, ...]


def letters() -> Iterator[str]:
    """A, B, ... Z, AA, AB, ..."""
    for number in count():
        text, left = "", number + 1
        while left:
            left, digit = divmod(left - 1, 26)
            text = chr(ord("A") + digit) + text
        yield text


def fold(layer: Mapping[str, int], wires: Sequence[Wire], most: int) -> tuple[int, ...]:
    """The first layer of each band of `most` layers at most: few bands, few cut wires, even ones."""
    last = max(layer.values()) + 1
    cut = [sum(layer[w.start] < at <= layer[w.end] for w in wires) for at in range(last)]
    best: list[tuple[tuple[int, int, int], tuple[int, ...]]] = [((0, 0, 0), ())]
    for end in range(1, last + 1):
        options = []
        for start in range(max(0, end - most), end):
            (bands, cuts, uneven), firsts = best[start]
            cost = (bands + 1, cuts + (cut[start] if start else 0), uneven + (most - end + start) ** 2)
            options.append((cost, (*firsts, start)))
        best.append(min(options))
    return best[last][1]


def bands(
    layer: Mapping[str, int],
    wires: Sequence[Wire],
    paths: Sequence[Sequence[str]],
    most: int,
    names: Iterator[str],
) -> tuple[Band, ...]:
    """The bands of a group of parts. `paths` are the unit's lines; `names` gives letters not used before."""
    firsts = fold(layer, wires, most)
    home = {part: sum(first <= at for first in firsts) - 1 for part, at in layer.items()}
    links: list[list[Link]] = [[] for _ in firsts]
    column: list[dict[Spot, int]] = [{} for _ in firsts]
    for part, at in layer.items():
        column[home[part]][part] = at - firsts[home[part]]
    width = [max(columns.values()) + 1 for columns in column]
    for wire in wires:
        one, other = home[wire.start], home[wire.end]
        if one == other:
            links[one].append(Link(wire.start, wire.end, wire))
            continue
        text = next(names)
        leaves, comes = Letter(text, leaves=True), Letter(text, leaves=False)
        column[one][leaves], column[other][comes] = width[one], -1
        links[one].append(Link(wire.start, leaves, wire))
        links[other].append(Link(comes, wire.end, wire))
    rank = _ranks(paths)
    return tuple(
        _rows(width[n], column[n], sorted(links[n], key=lambda link: rank[link.wire.start, link.wire.end]))
        for n in range(len(firsts))
    )


def _ranks(paths: Sequence[Sequence[str]]) -> dict[tuple[str, str], tuple[int, int]]:
    """The order in which wires are drawn straight: the longest line first, along its path."""
    found: dict[tuple[str, str], tuple[int, int]] = {}
    for n, line in enumerate(sorted(paths, key=len, reverse=True)):
        for m, (a, b) in enumerate(pairwise(line)):
            found.setdefault((a, b), (n, m))
            found.setdefault((b, a), (n, m))
    return found


@dataclass(slots=True)
class _Floor:
    """Rows while they fill: which cells are taken, and where each spot is."""

    column: Mapping[Spot, int]
    links: Sequence[Link]
    taken: set[tuple[int, int]] = field(default_factory=set)
    row: dict[Spot, int] = field(default_factory=dict)

    def joined(self, chain: Sequence[Spot]) -> list[tuple[int, int, int]]:
        """Row of each placed spot that a chain is wired to, and first and last column on the way."""
        found = []
        for link in self.links:
            for mine, other in ((link.start, link.end), (link.end, link.start)):
                if mine in chain and other in self.row:
                    here, there = self.column[mine], self.column[other]
                    low, high = (there + 1, here - 1) if there < here else (here + 1, there - 1)
                    found.append((self.row[other], low, high))
        return found

    def place(self, chain: Sequence[Spot]) -> None:
        """Give a chain the nearest row whose cells are free, and the way to what it joins if it can."""
        first, last = self.column[chain[0]], self.column[chain[-1]]
        joined = self.joined(chain)
        rows = sorted(row for row, _, _ in joined)
        wanted = rows[len(rows) // 2] if rows else max(self.row.values(), default=-1) + 1
        way = {at for _, low, high in joined for at in range(low, high + 1)}
        way |= self._beyond(chain)
        own = set(range(first, last + 1))
        near = sorted(range(wanted - _FAR, wanted + _FAR + 1), key=lambda row: (abs(row - wanted), -row))
        below = (row for row in count(wanted))
        row = next((r for r in near if self._free(r, own | way)), None)
        row = row if row is not None else next(r for r in below if self._free(r, own))
        self.taken |= {(at, row) for at in own}
        for spot in chain:
            self.row[spot] = row

    def _beyond(self, chain: Sequence[Spot]) -> set[int]:
        """The columns right before and after a chain that a wire of its ends must turn in."""
        ends = {link.end for link in self.links if link.start == chain[-1]}
        starts = {link.start for link in self.links if link.end == chain[0]}
        after = {self.column[chain[-1]] + 1} if ends else set()
        return after | ({self.column[chain[0]] - 1} if starts else set())

    def _free(self, row: int, columns: set[int]) -> bool:
        return not any((at, row) in self.taken for at in columns)


def _rows(columns: int, column: dict[Spot, int], links: Sequence[Link]) -> Band:
    floor = _Floor(column, links)
    waiting = _chains(column, links)
    while waiting:
        chain = max(waiting, key=lambda c: len(floor.joined(c)))
        waiting.remove(chain)
        floor.place(chain)
    used = sorted(set(floor.row.values()))
    row = {spot: used.index(at) for spot, at in floor.row.items()}
    return Band(columns, column, row, len(used), tuple(links))


def _chains(column: Mapping[Spot, int], links: Sequence[Link]) -> list[tuple[Spot, ...]]:
    """Spots that are drawn in one row: each with at most one straight wire to either side."""
    after: dict[Spot, Spot] = {}
    before: dict[Spot, Spot] = {}
    for link in links:
        if link.start not in after and link.end not in before:
            after[link.start], before[link.end] = link.end, link.start
    found: list[tuple[Spot, ...]] = []
    order = [spot for link in links for spot in (link.start, link.end)]
    for spot in dict.fromkeys((*order, *column)):
        if spot not in before:
            chain = [spot]
            while chain[-1] in after:
                chain.append(after[chain[-1]])
            found.append(tuple(chain))
    return found

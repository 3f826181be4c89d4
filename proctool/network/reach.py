"""Two ways of reaching along the lines of one energy.

*Danger reach*: all that can be arrived at, passing through every part except isolators that are off, vents
and gauges. *Sure reach*: the same, but check valves and restrictions, which may stick or block, stop it too.
A reach contains its start; a part that stops a reach is still arrived at; a start always looks at its
neighbours. Danger runs both ways along a line, whatever the order of its path.

Sets of parts are bit masks over the unit's parts in file order, so that a reach is a few integer operations
and can be kept per switch position.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from proctool.model.unit import Unit
from proctool.model.words import Position, Role

Mask = int
"""A set of parts: bit `i` is the part at place `i` of the file."""

_CACHE = 1 << 16


def bits(mask: Mask) -> Iterator[int]:
    """The places in a mask, lowest first."""
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


class Network:
    """A unit's parts by place, its neighbours per energy, and cached reaches."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit
        self.ids: tuple[str, ...] = tuple(unit.parts)
        self.place: dict[str, int] = {name: i for i, name in enumerate(self.ids)}
        self.parts = tuple(unit.parts.values())
        self.energies: tuple[str, ...] = tuple(unit.energies)
        self.neighbours: dict[str, tuple[Mask, ...]] = {e: self._neighbours(e) for e in self.energies}
        self.on_line: dict[str, Mask] = {
            e: self.mask(p for line in unit.lines.values() if e in line.energies for p in line.path)
            for e in self.energies
        }
        """Parts that stand on a line of each energy; a gauge that reads at a holder counts as on it."""
        for part in self.parts:
            if part.role is Role.GAUGE and part.energy in self.on_line:
                self.on_line[part.energy] |= self.mask([part.id])
        self.isolators = self.mask_of_roles(Role.ISOLATOR)
        self.holders = self.mask_of_roles(Role.COMPONENT, Role.STORE)
        self.stores = self.mask_of_roles(Role.STORE)
        self.vents = self.mask_of_roles(Role.VENT)
        self.gauges = self.mask_of_roles(Role.GAUGE)
        self.normally_off = self.mask(
            p.id for p in self.parts if p.role is Role.ISOLATOR and p.normal is Position.OFF
        )
        self.normally_open = self.mask(p.id for p in self.parts if p.role is Role.VENT and p.normally_open)
        self._always_stop = self.vents | self.gauges
        self._unsure = self.mask_of_roles(Role.CHECK_VALVE, Role.RESTRICTION)
        feeding = self.mask(
            p.id for p in self.parts if p.role is Role.SOURCE or (p.role is Role.OUTLET and p.feeds_back)
        )
        self.sources: dict[str, Mask] = {e: feeding & self.on_line[e] for e in self.energies}
        """Parts that feed each energy without end: sources, and outlets that may feed back."""
        self._reach = lru_cache(_CACHE)(self._walk)

    def _neighbours(self, energy: str) -> tuple[Mask, ...]:
        found = [0] * len(self.ids)

        def join(a: str, b: str) -> None:
            if a != b:
                found[self.place[a]] |= 1 << self.place[b]
                found[self.place[b]] |= 1 << self.place[a]

        for line in self.unit.lines.values():
            if energy in line.energies:
                for a, b in zip(line.path, line.path[1:], strict=False):
                    join(a, b)
        for part in self.parts:
            if part.role is Role.GAUGE and part.energy == energy and part.at in self.place:
                join(part.id, part.at)
        return tuple(found)

    def mask(self, names: Iterable[str]) -> Mask:
        """The set of the named parts."""
        result = 0
        for name in names:
            result |= 1 << self.place[name]
        return result

    def names(self, mask: Mask) -> tuple[str, ...]:
        """The ids in a set, in file order."""
        return tuple(self.ids[i] for i in bits(mask))

    def mask_of_roles(self, *roles: Role) -> Mask:
        """All parts of the given roles."""
        return self.mask(p.id for p in self.parts if p.role in roles)

    def _walk(self, energy: str, start: Mask, stops: Mask, barred: Mask = 0) -> Mask:
        neighbours = self.neighbours[energy]
        reached = start
        front = start
        while front:
            seen = 0
            for i in bits(front):
                seen |= neighbours[i]
            seen &= ~(reached | barred)
            reached |= seen
            front = seen & ~stops
        return reached

    def danger(self, energy: str, start: Mask, off: Mask) -> Mask:
        """Danger reach of a set, with the isolators in `off` not passing."""
        return self._reach(energy, start, off & self.on_line[energy] | self._always_stop)

    def sure(self, energy: str, start: Mask, off: Mask) -> Mask:
        """Sure reach of a set, with the isolators in `off` not passing."""
        return self._reach(energy, start, off & self.on_line[energy] | self._always_stop | self._unsure)

    def within(self, energy: str, start: Mask, off: Mask, barred: Mask) -> Mask:
        """Danger reach of a set that never enters the parts in `barred`."""
        return self._reach(energy, start, off & self.on_line[energy] | self._always_stop, barred)

    def rings(self, energy: str, start: Mask, off: Mask, *, sure: bool = False) -> Iterator[Mask]:
        """A danger reach (or a sure one) by distance: the start, what is one line away, two, and so on."""
        stops = off | self._always_stop | (self._unsure if sure else 0)
        reached = front = passing = start
        while front:
            yield front
            seen = 0
            for i in bits(passing):
                seen |= self.neighbours[energy][i]
            front = seen & ~reached
            reached |= front
            passing = front & ~stops

    def energies_of(self, part: str) -> tuple[str, ...]:
        """The energies on whose lines a part stands, in file order."""
        return tuple(e for e in self.energies if self.on_line[e] >> self.place[part] & 1)

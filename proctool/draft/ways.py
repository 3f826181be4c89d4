"""Ways of isolating parts so that they can be opened: the least one first.

The least set of isolators may shut a vent or a gauge off from what it should relieve or show, where a dearer
set does not. So the sets are gone through in the order of what they cost: under each, every one of its
isolators is forbidden once, and the least set without it looked for. A set that works holds none of the
forbidden isolators and all of the wanted ones on some branch, so none that is needed is passed over.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush

from proctool.draft.lacks import Lack, Want, fed, lacks_of, shown_at
from proctool.model.words import Role
from proctool.network.cuts import Cut, isolators_of
from proctool.network.gauges import sees_with
from proctool.network.isolate import keeps_with, runners_with
from proctool.network.origins import electricity_of
from proctool.network.reach import Mask, Network, bits
from proctool.network.vents import vents_then

MOST = 200
"""So many sets of isolators are looked at before the search is given up; a count, alike on every machine."""


@dataclass(frozen=True, slots=True)
class Sight:
    """What shows zero of one energy at a holder."""

    part: str
    energy: str
    by: str
    """A gauge, a portable tester, or an open vent."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way of bringing parts to zero."""

    parts: tuple[str, ...]
    cut: Cut
    stops: tuple[str, ...]
    """Machines to be stopped first."""
    vents: tuple[str, ...]
    """To be opened, in file order."""
    discharges: tuple[str, ...]
    """Holders of what leaves by time only."""
    sights: tuple[Sight, ...]
    lacks: tuple[Lack, ...]
    """Why the parts could not be opened safely with it; empty where they can."""


def ways(network: Network, parts: Sequence[str]) -> Iterator[Way]:
    """Every way that may work, and those passed over on the search, in the order of what they cost.

    The order is that of `isolators_of`. After `MOST` sets it ends. Where something feeds a part past every
    isolator of the unit there is one way, which says so in its lacks. Raises KeyError for unknown names.
    """
    asked = tuple(dict.fromkeys(parts))
    first = isolators_of(network, asked)
    queue = [(first.rank, 0, 0, first)]
    seen: set[tuple[Mask, Mask]] = {(0, 0)}
    told: set[tuple[str, ...]] = set()
    while queue and len(seen) <= MOST:
        _, barred, taken, cut = heappop(queue)
        way = way_with(network, asked, cut)
        if cut.isolators not in told:
            told.add(cut.isolators)
            yield way
        branches = [(barred | 1 << i, taken) for i in bits(network.mask(cut.isolators) & ~taken)]
        branches += [(barred, taken | 1 << i) for i in bits(_between(network, way) & ~barred)]
        for branch in branches:
            if branch not in seen:
                seen.add(branch)
                other = isolators_of(network, asked, barred=branch[0], taken=branch[1])
                if not fed(network, other):
                    heappush(queue, (other.rank, *branch, other))


def _between(network: Network, way: Way) -> Mask:
    """Isolators that could divide a part that holds nothing from holders that no vent relieves."""
    found = 0
    for lack in way.lacks:
        at = 1 << network.place[lack.part]
        if lack.want is Want.RELIEF and lack.energy is not None and not at & network.holders:
            found |= network.danger(lack.energy, at, way.cut.off) & network.isolators & ~way.cut.off
    return found & ~network.mask(way.parts)


def way_with(network: Network, parts: tuple[str, ...], cut: Cut) -> Way:
    """What is stopped, let out and read with one cut."""
    relief = vents_then(network, parts, cut.off)
    vents = network.mask((*relief.vents, *cut.bleeds))
    opened = vents | network.normally_open
    return Way(
        parts=parts,
        cut=cut,
        stops=runners_with(network, cut.off),
        vents=network.names(vents),
        discharges=keeps_with(network, parts, cut.off),
        sights=tuple(_sights(network, parts, cut.off, opened)),
        lacks=lacks_of(network, parts, cut, relief),
    )


def _sights(network: Network, parts: tuple[str, ...], off: Mask, opened: Mask) -> Iterator[Sight]:
    """What shows zero: of what can be wetted, then of the parts. Each holder and energy is asked once."""
    asked: dict[tuple[str, str], None] = {}
    for part in parts:
        for near in network.unit.parts[part].near:
            if network.unit.parts[near].holder:
                asked |= {(near, energy): None for energy in electricity_of(network, near)}
    for part in parts:
        for energy in network.energies_of(part):
            asked |= {(holder, energy): None for holder in network.names(shown_at(network, part, energy))}
    for holder, energy in asked:
        by = sees_with(network, holder, energy, off, opened)
        if by is not None:
            yield Sight(holder, energy, by)


def openable(network: Network, part: str) -> bool:
    """Whether there is anything to make safe before a part is opened; a source cannot be opened at all."""
    found = network.unit.parts[part]
    return found.role is not Role.SOURCE and bool(network.energies_of(part)) and found.at != "any"

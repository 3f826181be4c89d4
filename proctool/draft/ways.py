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
from typing import NamedTuple

from proctool.draft.lacks import Lack, Want, lacks_of, shown_at
from proctool.model.words import Form
from proctool.network.cuts import Cut, isolators_of
from proctool.network.gauges import sees_with
from proctool.network.isolate import keeps_with, runners_with
from proctool.network.least import Rank
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
    besides: tuple[str, ...]
    """What is cut off with them: vents that would let out heat, joints beside them."""
    cut: Cut
    stops: tuple[str, ...]
    """Machines that lose the energy they run on: stopped first."""
    idle: tuple[str, ...]
    """Machines that keep it and would run dry: stopped first too."""
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
    first = _Branch()
    queue = [_ranked(network, asked, first)]
    seen = {first}
    told: set[tuple[str, ...]] = set()
    while queue and len(seen) <= MOST:
        _, branch, cut = heappop(queue)
        way = way_with(network, asked, cut, branch.besides)
        more = tuple(name for name in _besides(network, way) if name not in branch.besides)
        if not more and cut.isolators not in told:
            told.add(cut.isolators)
            yield way
        for other in _branches(network, way, branch, more):
            if other not in seen:
                seen.add(other)
                ranked = _ranked(network, asked, other)
                if more or _uncut(ranked[2]) <= _uncut(cut):
                    heappush(queue, ranked)


def _uncut(cut: Cut) -> frozenset[tuple[str, str, str]]:
    """What some isolators leave fed or joined to a store: no way may leave more so than the unit must."""
    return frozenset((u.part, u.energy, origin) for u in cut.uncut for origin in u.origins)


class _Branch(NamedTuple):
    """A corner of the search: isolators not to be used, those to be used, what is cut off with the parts."""

    barred: Mask = 0
    taken: Mask = 0
    besides: tuple[str, ...] = ()


def _ranked(network: Network, asked: tuple[str, ...], branch: _Branch) -> tuple[Rank, _Branch, Cut]:
    parts = (*asked, *branch.besides)
    cut = isolators_of(network, parts, barred=branch.barred, taken=branch.taken)
    return cut.rank, branch, cut


def _branches(network: Network, way: Way, branch: _Branch, more: tuple[str, ...]) -> Iterator[_Branch]:
    """What is looked at after a way: the same with more cut off, else with one isolator less or more."""
    if more:
        yield branch._replace(besides=(*branch.besides, *more))
        return
    for i in bits(network.mask(way.cut.isolators) & ~branch.taken):
        yield branch._replace(barred=branch.barred | 1 << i)
    for i in bits(_between(network, way) & ~branch.barred):
        yield branch._replace(taken=branch.taken | 1 << i)


def _besides(network: Network, way: Way) -> Iterator[str]:
    """What must be cut off besides the parts: vents that would let out heat, and joints that owe a check.

    What a vent lets out is as hot as before, unless it is piped away. A joint beside an opened part that
    holds nothing is looked at for leaks afterwards; if it leaks the job ends, and nothing may feed it then.
    """
    for name in way.vents:
        hot = any(network.unit.energies[e].form is Form.HEAT for e in network.energies_of(name))
        if hot and not network.unit.parts[name].piped:
            yield name
    joints = joints_of(network, way.parts)
    for energy, sources in network.sources.items():
        if network.unit.energies[energy].fluid and sources:
            yield from network.names(network.danger(energy, sources, way.cut.off) & joints)


def joints_of(network: Network, parts: Sequence[str]) -> Mask:
    """Holders that owe a leak check once parts were opened: these, or what is next to one that is none."""
    found = 0
    for place in (network.place[part] for part in parts):
        for energy in network.energies:
            if network.unit.energies[energy].fluid:
                beside = network.neighbours[energy][place] & network.holders
                own = 1 << place & network.on_line[energy]
                found |= own if network.holders >> place & 1 else beside
    return found


def _between(network: Network, way: Way) -> Mask:
    """Isolators that could divide a part that holds nothing from holders that no vent relieves."""
    found = 0
    for lack in way.lacks:
        at = 1 << network.place[lack.part]
        if lack.want is Want.RELIEF and lack.energy is not None and not at & network.holders:
            found |= network.danger(lack.energy, at, way.cut.off) & network.isolators & ~way.cut.off
    return found & ~network.mask(way.parts)


def way_with(network: Network, parts: tuple[str, ...], cut: Cut, besides: tuple[str, ...] = ()) -> Way:
    """What is stopped, let out and read with one cut; what is cut off `besides` is let cool too."""
    hot = tuple(name for name in besides if network.vents >> network.place[name] & 1)
    discharges = keeps_with(network, (*parts, *hot), cut.off)
    relief = vents_then(network, (*parts, *(n for n in discharges if _pushed(network, n))), cut.off)
    vents = network.mask((*relief.vents, *cut.bleeds))
    opened = vents | network.normally_open
    return Way(
        parts=parts,
        besides=besides,
        cut=cut,
        stops=runners_with(network, cut.off),
        idle=_idle(network, cut.off),
        vents=network.names(vents),
        discharges=discharges,
        sights=tuple(_sights(network, parts, cut.off, opened)),
        lacks=lacks_of(network, parts, cut, relief),
    )


def _idle(network: Network, off: Mask) -> tuple[str, ...]:
    """Running machines that lose a fluid they stand in, but not the energy they run on, in file order."""
    lost = 0
    for energy, sources in network.sources.items():
        if network.unit.energies[energy].fluid:
            fed = network.danger(energy, sources, network.normally_off)
            lost |= fed & ~network.danger(energy, sources, off)
    stopped = runners_with(network, off)
    running = (p.id for i, p in enumerate(network.parts) if lost >> i & 1 and p.runs and p.normally_running)
    return tuple(name for name in running if name not in stopped)


def _pushed(network: Network, holder: str) -> bool:
    """Whether a holder keeps a fluid that something else in it pushes, which must be let out first."""
    keeps = network.unit.parts[holder].keeps
    return any(network.unit.energies[energy].fluid for energy in keeps & set(network.energies))


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

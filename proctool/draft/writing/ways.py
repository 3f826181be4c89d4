"""Ways of isolating parts so that they can be opened: the least one first.

The least set of isolators may shut a vent or a gauge off from what it should relieve or show, where a dearer
set does not. So the sets are gone through in the order of what they cost: under each, every one of its
isolators is forbidden once, and the least set without it looked for. A set that works holds none of the
forbidden isolators and all of the wanted ones on some branch, so none that is needed is passed over.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from heapq import heappop, heappush
from typing import NamedTuple

from proctool.draft.writing.lacks import Lack, Want
from proctool.draft.writing.way import Way, joints_of, scalding, way_with
from proctool.network.cuts import Cut, isolators_of
from proctool.network.least import Rank
from proctool.network.origins import discharged_only
from proctool.network.reach import Mask, Network, bits

MOST = 200
"""So many sets of isolators are looked at before the search is given up; a count, alike on every machine."""

_FOR_GOOD = frozenset({Want.CUT, Want.NEIGHBOUR, Want.PRESSURE})
"""What no other isolators could mend."""


def ways(network: Network, parts: Sequence[str]) -> Iterator[Way]:
    """Every way that may work, and those passed over on the search, in the order of what they cost.

    The order is that of `isolators_of`. After `MOST` sets it ends with one that says so in its lacks. Where
    something feeds a part past every isolator of the unit there is one way, and that in its lacks. Raises
    KeyError for unknown names.
    """
    asked = tuple(dict.fromkeys(parts))
    first = _Branch()
    queue = [_ranked(network, asked, first)]
    seen = {first}
    told: set[tuple[str, ...]] = set()
    while queue and len(seen) <= MOST:
        _, branch, cut = heappop(queue)
        way = way_with(network, asked, cut, branch.besides)
        if not branch.besides and any(lack.want in _FOR_GOOD for lack in way.lacks):
            yield way
            return
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
    if queue:
        yield replace(way_with(network, asked, queue[0][2]), lacks=(Lack(Want.SEARCH, asked[0]),))


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
    What is discharged is discharged of all that it keeps, so none of that may be fed.
    """
    yield from network.names(network.mask(way.vents) & scalding(network))
    joints = joints_of(network, way.parts)
    for energy, sources in network.sources.items():
        live = network.danger(energy, sources, way.cut.off)
        let_go = (name for name in way.discharges if energy in discharged_only(network, name))
        yield from network.names(live & (joints | network.mask(let_go)))


def _between(network: Network, way: Way) -> Mask:
    """Isolators that could divide a part that holds nothing from holders that no vent relieves."""
    found = 0
    for lack in way.lacks:
        at = 1 << network.place[lack.part]
        alone = at & network.holders and lack.part in way.parts
        if lack.want is Want.RELIEF and lack.energy is not None and not alone:
            found |= network.danger(lack.energy, at, way.cut.off) & network.isolators & ~way.cut.off
    return found & ~network.mask(way.parts)

"""Which isolators cut parts off before they are worked on, and what that leaves.

The least set is sought over all energies together, since one device may cut several. Every path from an
origin to a target must pass an isolator that is off, or two of them where the energy asks for double
isolation: then it is still cut with any one of them on.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache, reduce
from operator import or_

from proctool.model.words import KEPT_BY_ALL, Depth, Lock
from proctool.network.least import Found, Price, Rank, Wanting, fewest, least, nearest_first, rank_of
from proctool.network.origins import (
    Barrier,
    Bleed,
    Task,
    Uncut,
    bled_regions,
    by_vent,
    targets_of,
    task_of,
)
from proctool.network.paths import Paths
from proctool.network.reach import Mask, Network, bits


@dataclass(frozen=True, slots=True)
class Cut:
    """The isolators that cut parts off, and what they cannot do."""

    isolators: tuple[str, ...]
    """All that must be off, in file order."""
    stay_off: tuple[str, ...]
    """Those of them that are off in normal service and must stay so."""
    bleeds: tuple[str, ...]
    """Vents that must be open besides for double block and bleed; those open in normal service left out."""
    uncut: tuple[Uncut, ...]
    """What stays fed, or is not cut as deep as its energy asks, by energy and part in file order."""
    least: bool
    """Proven to be the least; False where the search met its limit."""
    off: Mask
    """Every isolator that is off then: these, and the others that are off in normal service."""
    rank: Rank = (0, 0, 0)
    """What it costs, to compare ways of cutting the same parts."""


def isolators_of(
    network: Network,
    parts: Sequence[str],
    also_off: Sequence[str] = (),
    *,
    barred: Mask = 0,
    taken: Mask = 0,
) -> Cut:
    """The least set of isolators that cuts the parts, and the electricity of what is `near` them.

    They are cut from every source, every outlet that feeds back, and every store that no vent could relieve
    with all isolators off, as deep as each energy asks; `also_off` names parts that must be dead for another
    reason. Sets are compared by: how many cannot be locked, how many are the site's, how many devices, how
    many holders lose an energy they have in normal service, how many lines away they are from what they cut
    (summed), place in the file. Isolators that are off in normal service are taken as off in this, and cost
    nothing; the least set of them without which it would not hold is added after.

    The parts' own bodies, if they are isolators, do not count: they may lie open. Nor do those in `barred`;
    those in `taken` are among the set in any case, so that other ways than the least can be asked for.
    Raises KeyError for names that are no parts of the unit. Exact, by a search that may be exponential (see
    `least`), but takes a few milliseconds in units of the usual shape with 30 isolators. `Cut.least` tells
    where its limit was met.
    """
    return _cut(network, tuple(dict.fromkeys(parts)), tuple(dict.fromkeys(also_off)), barred, taken)


def runners_of(network: Network, parts: Sequence[str], also_off: Sequence[str] = ()) -> tuple[str, ...]:
    """Parts that run in normal service and lose their driving energy to the isolators, in file order."""
    return runners_with(network, isolators_of(network, parts, also_off).off)


def runners_with(network: Network, off: Mask) -> tuple[str, ...]:
    """Parts that run in normal service and lose their driving energy to the isolators in `off`."""

    def lost(energy: str) -> Mask:
        sources = network.sources[energy]
        return network.danger(energy, sources, network.normally_off) & ~network.danger(energy, sources, off)

    return tuple(
        part.id
        for i, part in enumerate(network.parts)
        if part.normally_running and part.runs in network.sources and lost(part.runs) >> i & 1
    )


def keeps_of(network: Network, parts: Sequence[str]) -> tuple[str, ...]:
    """Holders that keep what only `discharge` relieves, once the parts are isolated, in file order.

    Looked at are the parts, the electricity of what is `near` them, and all in their danger reach. An energy
    that the technician brings in is left out: it is not there in normal service.
    """
    return keeps_with(network, parts, isolators_of(network, parts).off)


def keeps_with(network: Network, parts: Sequence[str], off: Mask) -> tuple[str, ...]:
    """What `keeps_of` finds, with the isolators in `off` off."""
    kept = 0
    for energy, targets in targets_of(network, parts).items():
        if not network.unit.energies[energy].brought:
            kept |= network.danger(energy, targets, off) & _keepers(network, energy)
    return network.names(kept)


def _keepers(network: Network, energy: str) -> Mask:
    """Holders that keep an energy which leaves them only by `discharge`."""
    by_all = network.unit.energies[energy].form in KEPT_BY_ALL
    holders = (network.holders if by_all else network.stores) & network.on_line[energy]
    return sum(1 << i for i in bits(holders) if not by_vent(network, i, energy))


@lru_cache(64)
def _cut(
    network: Network, parts: tuple[str, ...], also_off: tuple[str, ...], barred: Mask, taken: Mask
) -> Cut:
    targets = targets_of(network, parts, also_off)
    bodies = network.mask(parts)
    concerned = reduce(or_, (network.on_line[energy] for energy in targets), 0)
    devices = network.isolators & concerned & ~bodies & ~barred
    normally_off = network.normally_off & devices
    taken &= devices & ~normally_off
    task = task_of(network, targets, devices)
    open_ended = {(uncut.energy, uncut.part) for uncut in task.uncut if uncut.depth is None}
    cut = {
        energy: network.mask(n for n in network.names(mask) if (energy, n) not in open_ended)
        for energy, mask in targets.items()
    }
    price = price_of(network, targets, cut)

    free, base = devices & ~normally_off & ~taken, normally_off | taken
    found, bleeds = with_bleeds(network, task, free, base, price)
    chosen = (found.chosen or 0) | taken
    # What it leans on: it must hold with the others of those that are off in normal service on.
    leans = least(normally_off, Paths(network, task.barriers).unmet(chosen), price)
    stay_off = leans.chosen or 0

    regions = [
        region & network.vents
        for bleed in bleeds
        for region in bled_regions(network, bleed, normally_off | chosen) or ()
        if not region & network.normally_open
    ]
    opened = fewest(regions, distances_from(network, targets))
    short = (
        Uncut(network.names(b.target)[0], b.energy, _feeding(network, b), Depth.DOUBLE)
        for b in task.bleeds
        if b not in bleeds
    )
    return Cut(
        isolators=network.names(chosen | stay_off),
        stay_off=network.names(stay_off),
        bleeds=network.names(opened.chosen or 0),
        uncut=tuple(sorted((*task.uncut, *short), key=_in_file_order(network))),
        least=found.least and leans.least and opened.least,
        off=network.normally_off | chosen,
        rank=rank_of(price, chosen),
    )


def _feeding(network: Network, bleed: Bleed) -> tuple[str, ...]:
    return network.names(bleed.origins & network.danger(bleed.energy, bleed.target, 0))


def _in_file_order(network: Network) -> Callable[[Uncut], tuple[int, int]]:
    return lambda uncut: (network.energies.index(uncut.energy), network.place[uncut.part])


def with_bleeds(
    network: Network, task: Task, free: Mask, base: Mask, price: Price
) -> tuple[Found, tuple[Bleed, ...]]:
    """The least set with `base` off besides, and the double blocks and bleeds it leaves room for.

    Those that cannot be had by themselves are given up, and all of them if they cannot be had together; the
    double block is asked for in any case.
    """

    def search(barriers: tuple[Barrier, ...], bleeds: tuple[Bleed, ...]) -> Found:
        return least(free, Paths(network, barriers).unmet(base), price, _wanting(network, bleeds, base))

    bleeds = task.bleeds
    found = search(task.barriers, bleeds)
    proven = found.least
    if found.chosen is None and len(bleeds) > 1:
        alone = [search((Barrier(b.energy, b.origins, b.target, 2),), (b,)) for b in bleeds]
        bleeds = tuple(b for b, one in zip(bleeds, alone, strict=True) if one.chosen is not None)
        found = search(task.barriers, bleeds)
        proven &= found.least and all(one.least for one in alone)
    if found.chosen is None:
        bleeds = ()
        found = search(task.barriers, bleeds)
    return Found(found.chosen, found.least and proven), bleeds


def _wanting(network: Network, bleeds: tuple[Bleed, ...], base: Mask) -> Wanting | None:
    """What double blocks want to be ones with a bleed; None where nobody asks."""

    def wanting(chosen: Mask, free: Mask) -> Mask | None:
        for bleed in bleeds:
            regions = bled_regions(network, bleed, base | chosen) or ()
            if not all(region & network.vents for region in regions):
                # A vent comes into a region only if less is reached now: by turning off what is reached.
                return free & network.danger(bleed.energy, bleed.origins, base | chosen)
        return None

    return wanting if bleeds else None


def distances_from(network: Network, targets: dict[str, Mask]) -> list[int]:
    """By place: how many lines away a part is from the nearest target, along the energy of that target."""
    found: dict[int, int] = {}
    for energy, mask in targets.items():
        for distance, ring in enumerate(network.rings(energy, mask, 0)):
            for i in bits(ring):
                found[i] = min(distance, found.get(i, distance))
    return [found.get(i, 0) for i in range(len(network.ids))]


def price_of(network: Network, targets: dict[str, Mask], cut: dict[str, Mask]) -> Price:
    """What isolators cost, in the order of comparison told at `isolators_of`.

    `cut` are those of the targets that can be cut: what is fed only through them is lost in any case.
    """
    wide = len(network.ids) + 1
    first = [((part.lock is Lock.NONE) * wide + part.site) * wide + 1 for part in network.parts]
    fed = {
        energy: network.danger(energy, sources, network.normally_off) & network.holders
        for energy, sources in network.sources.items()
    }

    def loss(chosen: Mask) -> Mask:
        # What is fed only through parts that will be cut is lost whatever else is chosen: a better bound.
        lost = 0
        for energy, sources in network.sources.items():
            off = network.normally_off | chosen
            lost |= fed[energy] & ~network.within(energy, sources, off, cut.get(energy, 0))
        return lost

    return Price(first, nearest_first(distances_from(network, targets)), loss)

"""Which vents relieve parts once they are isolated."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from proctool.network.isolate import isolators_of
from proctool.network.least import fewest
from proctool.network.origins import by_vent
from proctool.network.reach import Mask, Network, bits


@dataclass(frozen=True, slots=True)
class Relief:
    """The vents that relieve parts, and what none does."""

    vents: tuple[str, ...]
    """To be opened, in file order; those open in normal service left out."""
    unrelieved: tuple[tuple[str, str], ...]
    """Part and energy: a fluid that would leave through a vent, but none is surely reached."""
    least: bool
    """Proven to be the fewest; False where the search met its limit."""


def vents_of(network: Network, parts: Sequence[str]) -> Relief:
    """The fewest vents that surely relieve all the parts once they are isolated.

    For each part and each fluid it holds that would leave through a vent, one of them is in its sure reach,
    with the isolators of the parts off and all other devices in their normal state. A part that is no holder
    (a strainer, the body of a valve) is relieved when every holder in its danger reach is. Ties: the nearer
    vents (lines away from what they relieve, summed), then place in the file.

    A vent that is open in normal service and relieves a part already is not listed, and no other is opened
    for that part. Fluids that leave a part only by `discharge` are not looked at: see `keeps_of`. Exact, by
    the search of `least`. Raises KeyError for names that are no parts of the unit.
    """
    return _vents_of(network, tuple(parts))


@lru_cache(1024)
def _vents_of(network: Network, parts: tuple[str, ...]) -> Relief:
    return vents_then(network, parts, isolators_of(network, parts).off)


def vents_then(network: Network, parts: Sequence[str], off: Mask, last: Mask = 0) -> Relief:
    """What `vents_of` finds, with the isolators in `off` off; vents in `last` only where no other will do."""
    wanted = [
        (network.ids[place], energy, _relieved_for(network, place, energy, off))
        for place in bits(network.mask(parts))
        for energy in network.energies_of(network.ids[place])
    ]
    return relief_with(network, wanted, off, network.normally_open, last)


def relief_with(
    network: Network, wanted: Iterable[tuple[str, str, Mask]], off: Mask, opened: Mask, last: Mask = 0
) -> Relief:
    """The fewest vents that do what is wanted, besides those in `opened`, with the isolators in `off` off.

    Wanted are a part, a fluid, and the holders that must be relieved of it so that the part is. A vent in
    `last` is taken only for what no other relieves.
    """
    groups: list[Mask] = []
    distances: dict[int, int] = {}
    unrelieved: dict[tuple[str, str], None] = {}
    for part, energy, holders in wanted:
        for holder in bits(holders):
            reached = network.sure(energy, 1 << holder, off) & network.vents
            reached = reached & ~last or reached
            if not reached:
                unrelieved[part, energy] = None
            elif not reached & opened:
                groups.append(reached)
                for distance, ring in enumerate(network.rings(energy, 1 << holder, off, sure=True)):
                    for vent in bits(ring & reached):
                        distances[vent] = min(distance, distances.get(vent, distance))
    found = fewest(groups, [distances.get(i, 0) for i in range(len(network.ids))])
    return Relief(network.names(found.chosen or 0), tuple(unrelieved), found.least)


def _relieved_for(network: Network, place: int, energy: str, off: Mask) -> Mask:
    """The holders that must be relieved of an energy through vents, so that a part is."""
    holders = 1 << place
    if not holders & network.holders:
        holders = network.danger(energy, holders, off) & network.holders
    return sum(1 << i for i in bits(holders) if by_vent(network, i, energy))

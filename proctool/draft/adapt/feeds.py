"""By which ways energies come to parts past the isolators that were enough on another unit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from proctool.model.adapting import Feed
from proctool.model.comparison import Barring
from proctool.model.unit import Unit
from proctool.network.origins import targets_of, unrelievable
from proctool.network.reach import Network, bits
from proctool.network.ways import way
from proctool.prove.phrases import route


def feeds(
    unit: Unit, opened: Iterable[str], known: Iterable[str], barrings: Iterable[Barring]
) -> tuple[Feed, ...]:
    """For each source and each energy the way to the first opened part that it still feeds.

    `known` are the isolators that are turned off anyway; `barrings` what the draft has off when it opens a
    part. What feeds is a source, an outlet that feeds back, or a store that no vent relieves for sure. What
    stands near an opened part counts with its electricity.
    """
    return tuple(_feeds(Network(unit), tuple(opened), frozenset(known), tuple(barrings)))


def _feeds(
    network: Network, opened: tuple[str, ...], known: frozenset[str], barrings: tuple[Barring, ...]
) -> Iterator[Feed]:
    off = network.mask(known) | network.normally_off
    by_part = {(b.part, b.energy): b for b in barrings}
    for energy, targets in targets_of(network, opened).items():
        for origin in bits(network.sources[energy] | unrelievable(network, energy)):
            reached = network.danger(energy, 1 << origin, off) & targets & ~(1 << origin)
            place = next(bits(reached), None)
            path = way(network, energy, 1 << origin, place, off) if place is not None else None
            if place is None or path is None:
                continue
            names = tuple(network.ids[i] for i in path)
            barring = by_part.get((network.ids[place], energy))
            # Only what the room of the part ends at keeps the energy away from it.
            ends = barring.isolators if barring is not None else ()
            held = tuple(name for name in names if name in ends)
            locked = barring is not None and any(name in barring.locked for name in held)
            yield Feed(energy, names[-1], route(network, energy, names), held, locked)

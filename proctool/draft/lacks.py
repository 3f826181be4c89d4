"""What a way of isolating parts leaves open: why they could not be opened safely with it.

Each is a fact of the unit's network with some isolators off, told from the definitions of the proof: what
feeds a part, what lets an energy out for sure, what can show that it is zero.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from proctool.model.words import Control, Lock, Role
from proctool.network.cuts import Cut, Relief
from proctool.network.reach import Mask, Network, bits


class Want(StrEnum):
    """What is not to be had."""

    CUT = "cut"
    """An isolator between what feeds the part and the part."""
    DEPTH = "depth"
    """As many isolators as the energy asks for."""
    LOCK = "lock"
    """A lock on an isolator that is needed; `part` is the isolator."""
    RELIEF = "relief"
    """A vent that surely relieves the part."""
    SIGHT = "sight"
    """Something that shows zero at the part."""
    NEIGHBOUR = "neighbour"
    """A holder next to a part that holds nothing itself, at which its zero could be shown."""


@dataclass(frozen=True, slots=True)
class Lack:
    """One thing that is not to be had for a part."""

    want: Want
    part: str
    energy: str | None = None
    others: tuple[str, ...] = ()
    """What feeds the part, or the holders that are meant."""
    depth: str = ""
    """The depth that the energy asks for."""


def lacks_of(network: Network, parts: Sequence[str], cut: Cut, relief: Relief) -> tuple[Lack, ...]:
    """All that is lacking to open some parts with one cut, its vents open."""
    return (
        *_fed(network, cut),
        *_unlocked(network, cut),
        *(Lack(Want.RELIEF, part, energy) for part, energy in relief.unrelieved if part in parts),
        *_unseen(network, parts, cut),
    )


def _fed(network: Network, cut: Cut) -> Iterator[Lack]:
    """A store that nothing divides off is let out instead, and is no lack by itself."""
    for uncut in cut.uncut:
        sources = network.mask(uncut.origins) & network.sources[uncut.energy]
        if sources:
            want = Want.CUT if uncut.depth is None else Want.DEPTH
            depth = network.unit.energies[uncut.energy].depth
            yield Lack(want, uncut.part, uncut.energy, network.names(sources), depth)


def _unlocked(network: Network, cut: Cut) -> Iterator[Lack]:
    if network.unit.control is Control.EXCLUSIVE:
        return
    for name in cut.isolators:
        part = network.unit.parts[name]
        if part.lock is Lock.NONE and not part.exclusive_control:
            yield Lack(Want.LOCK, name)


def shown_at(network: Network, part: str, energy: str) -> Mask:
    """Where zero of an energy is shown for a part: at itself, or at the holders next to one that is none."""
    place = network.place[part]
    if network.holders >> place & 1:
        return 1 << place
    return network.neighbours[energy][place] & network.holders


def sights_of(network: Network, part: str, energy: str, off: Mask) -> Mask:
    """Gauges that can show zero of an energy at a holder; of a fluid, the vents that can as well."""
    place = network.place[part]
    sure = network.sure(energy, 1 << place, off)
    found = sure & network.vents if network.unit.energies[energy].fluid else 0
    for i in bits(network.gauges):
        gauge = network.parts[i]
        if gauge.energy == energy and i != place:
            seen = gauge.at == "any" or (gauge.at in network.place and sure >> network.place[gauge.at] & 1)
            found |= seen << i
    return found


def _unseen(network: Network, parts: Sequence[str], cut: Cut) -> Iterator[Lack]:
    told: dict[Lack, None] = {}
    for part in parts:
        if network.unit.parts[part].role is Role.SOURCE:
            continue
        for energy in network.energies_of(part):
            at = shown_at(network, part, energy)
            if not at:
                told[Lack(Want.NEIGHBOUR, part, energy)] = None
            for holder in network.names(at):
                if not sights_of(network, holder, energy, cut.off):
                    told[Lack(Want.SIGHT, holder, energy)] = None
    yield from told

"""What a way of isolating parts leaves open: why they could not be opened safely with it.

Each is a fact of the unit's network with some isolators off, told from the definitions of the proof: what
feeds a part, what lets an energy out for sure, what can show that it is zero.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from proctool.model.words import WETTING, Control, Lock
from proctool.network.cuts import Cut
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
    PRESSURE = "pressure"
    """What feeds a joint in normal service, so that it can be looked at for leaks; `part` is the joint."""
    NEIGHBOUR = "neighbour"
    """A holder next to a part that holds nothing itself, at which its zero could be shown."""
    SEARCH = "search"
    """An end of the search: more sets of isolators were not looked at."""


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


def lacks_of(network: Network, parts: Sequence[str], cut: Cut, joints: Mask) -> tuple[Lack, ...]:
    """What is lacking to cut some parts off and lock that, and to look at their joints afterwards."""
    return (
        *_fed(network, parts, cut),
        *_unlocked(network, cut),
        *_alone(network, parts),
        *_unpressed(network, joints),
    )


def _fed(network: Network, parts: Sequence[str], cut: Cut) -> Iterator[Lack]:
    """What feeds the parts, what they could wet, or what is cut off besides.

    A store that nothing divides off is let out instead, and is no lack by itself. The depth is asked for
    where a part is opened.
    """
    dry = dry_near(network, parts)
    for uncut in cut.uncut:
        sources = network.mask(uncut.origins) & network.sources[uncut.energy]
        depth = network.unit.energies[uncut.energy].depth
        if not sources or uncut.part in dry:
            continue
        if uncut.depth is None:
            yield Lack(Want.CUT, uncut.part, uncut.energy, network.names(sources), depth)
        elif uncut.part in parts:
            yield Lack(Want.DEPTH, uncut.part, uncut.energy, network.names(sources), depth)


def dry_near(network: Network, parts: Sequence[str]) -> frozenset[str]:
    """What stands near parts from which nothing wet comes."""
    wet: set[str] = set()
    near: set[str] = set()
    for part in parts:
        forms = {network.unit.energies[energy].form for energy in network.energies_of(part)}
        (wet if forms & WETTING else near).update(network.unit.parts[part].near)
    return frozenset(near - wet - set(parts))


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


def _alone(network: Network, parts: Sequence[str]) -> Iterator[Lack]:
    for part in parts:
        for energy in network.energies_of(part):
            if not shown_at(network, part, energy):
                yield Lack(Want.NEIGHBOUR, part, energy)


def _unpressed(network: Network, joints: Mask) -> Iterator[Lack]:
    """A joint is looked at under every fluid that could be fed to it, with the unit back to normal."""
    for energy, sources in network.sources.items():
        if network.unit.energies[energy].fluid:
            could = network.danger(energy, sources, 0) & joints
            for name in network.names(could & ~network.danger(energy, sources, network.normally_off)):
                yield Lack(Want.PRESSURE, name, energy)

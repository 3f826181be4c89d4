"""What must be cut from what before parts are worked on: the demands on a set of isolators.

A *target* is a part together with an energy: each part that is worked on with every energy on whose lines it
stands; what is `near` it with its electricity; what must be dead for another reason with its electricity and
the energy that drives it (with all its energies, if it has neither). An *origin* is what feeds a target: the
sources and outlets that feed back, and each store whose energy no vent could relieve with all isolators off.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from proctool.model.words import KEPT_BY_ALL, Depth, Form
from proctool.network.reach import Mask, Network, bits


@dataclass(frozen=True, slots=True)
class Uncut:
    """A part that the isolators of the unit cannot cut from some origins as deep as the energy asks."""

    part: str
    energy: str
    origins: tuple[str, ...]
    """Sources, outlets that feed back, and stores, in file order."""
    depth: Depth | None
    """What can be had instead; None if nothing between can be turned off."""


@dataclass(frozen=True, slots=True)
class Barrier:
    """Origins to be cut from targets on one energy, with `need` isolators off on every path between."""

    energy: str
    origins: Mask
    targets: Mask
    need: int


@dataclass(frozen=True, slots=True)
class Bleed:
    """Origins to be cut from one target by double block and bleed."""

    energy: str
    origins: Mask
    """Those on no way to the target included: what they reach is no room for a bleed either."""
    target: Mask


@dataclass(frozen=True, slots=True)
class Task:
    """All that a set of isolators has to do, and what none of them can."""

    barriers: tuple[Barrier, ...]
    bleeds: tuple[Bleed, ...]
    uncut: tuple[Uncut, ...]


def targets_of(network: Network, parts: Iterable[str], also_off: Iterable[str] = ()) -> dict[str, Mask]:
    """The targets by energy; energies without any are left out."""
    found = dict.fromkeys(network.energies, 0)

    def add(part: str, energies: Iterable[str]) -> None:
        for energy in energies:
            found[energy] |= network.mask([part])

    for part in parts:
        add(part, network.energies_of(part))
        for near in network.unit.parts[part].near:
            add(near, electricity_of(network, near))
    for part in also_off:
        drive = network.unit.parts[part].runs
        dead = {*electricity_of(network, part), *([drive] if drive in found else [])}
        add(part, dead or network.energies_of(part))
    return {energy: mask for energy, mask in found.items() if mask}


def electricity_of(network: Network, part: str) -> tuple[str, ...]:
    """The electricity on whose lines a part stands."""
    energies = network.unit.energies
    return tuple(e for e in network.energies_of(part) if energies[e].form is Form.ELECTRICITY)


def by_vent(network: Network, place: int, energy: str) -> bool:
    """Whether an energy would leave a holder through a vent: a fluid that is not in its `keeps`."""
    return network.unit.energies[energy].fluid and energy not in network.parts[place].keeps


def discharged_only(network: Network, holder: str) -> tuple[str, ...]:
    """The energies that a holder keeps until it is discharged, in file order; brought ones are left out."""
    place = network.place[holder]
    return tuple(
        name
        for name in network.energies_of(holder)
        if not network.unit.energies[name].brought
        and (network.unit.energies[name].form in KEPT_BY_ALL or network.stores >> place & 1)
        and not by_vent(network, place, name)
    )


def unrelievable(network: Network, energy: str) -> Mask:
    """Stores whose energy no vent could relieve with all isolators off."""
    result = 0
    for i in bits(network.stores & network.on_line[energy]):
        alone = network.sure(energy, 1 << i, network.isolators)
        if not (by_vent(network, i, energy) and alone & network.vents):
            result |= 1 << i
    return result


def task_of(network: Network, targets: dict[str, Mask], devices: Mask) -> Task:
    """What `devices`, the isolators that may be used, have to do to cut the targets from their origins.

    Where the depth asked cannot be had even with all of them off, the next lesser is asked for instead, and
    said in `uncut`. A store is not cut from itself. Whether there is a bleed depends on which isolators are
    off; here is only seen whether there is any vent.
    """
    barriers: dict[tuple[str, Mask, int], Mask] = {}
    bleeds: list[Bleed] = []
    uncut: list[Uncut] = []
    for energy, mask in targets.items():
        asked = network.unit.energies[energy].depth
        stores = unrelievable(network, energy)
        for target in (1 << i for i in bits(mask)):
            origins = network.sources[energy] | (stores & ~target)
            around = network.danger(energy, target, 0)
            feeding = origins & around  # danger runs both ways
            by_need = [0, 0, 0]
            for origin in bits(feeding):
                need = most_between(network, energy, 1 << origin, target, devices)
                by_need[min(need, 1 if asked is Depth.SINGLE else 2)] |= 1 << origin
            part = network.names(target)[0]
            if by_need[0]:
                uncut.append(Uncut(part, energy, network.names(by_need[0]), None))
            if by_need[1] and asked is not Depth.SINGLE:
                uncut.append(Uncut(part, energy, network.names(by_need[1]), Depth.SINGLE))
            if by_need[2] and asked is Depth.DOUBLE_BLOCK_AND_BLEED and not around & network.vents:
                uncut.append(Uncut(part, energy, network.names(by_need[2]), Depth.DOUBLE))
            elif by_need[2] and asked is Depth.DOUBLE_BLOCK_AND_BLEED:
                bleeds.append(Bleed(energy, by_need[2] | (origins & ~feeding), target))
            for need in (1, 2):
                if by_need[need]:
                    key = (energy, by_need[need], need)
                    barriers[key] = barriers.get(key, 0) | target
    return Task(
        tuple(Barrier(energy, origins, mask, need) for (energy, origins, need), mask in barriers.items()),
        tuple(bleeds),
        tuple(uncut),
    )


def most_between(network: Network, energy: str, origin: Mask, target: Mask, devices: Mask) -> int:
    """How many of the devices stand at least on every path between: 0, 1, or 2 for two and more."""
    here = devices & network.on_line[energy]
    if network.danger(energy, origin, here) & target:
        return 0
    if any(network.danger(energy, origin, here & ~(1 << i)) & target for i in bits(here)):
        return 1
    return 2


def bled_regions(network: Network, bleed: Bleed, off: Mask) -> tuple[Mask, ...] | None:
    """What each leaking block would newly reach, where a bleed must be open; None if the target is not cut.

    The condition of double block and bleed: for each isolator that is off and from which the target would be
    arrived at, all isolators passing, without going back into what the origins reach now: with that one on,
    the target stays out, and where this newly reaches anything, an open vent is in it.
    """
    energy, off = bleed.energy, off & network.on_line[bleed.energy]
    now = network.danger(energy, bleed.origins, off)
    if now & bleed.target:
        return None
    regions: list[Mask] = []
    for i in bits(off):
        if network.within(energy, 1 << i, 0, now) & bleed.target:
            leaking = network.danger(energy, bleed.origins, off & ~(1 << i))
            if leaking & bleed.target:
                return None
            if leaking & ~now:
                regions.append(leaking & ~now)
    return tuple(regions)

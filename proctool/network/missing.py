"""Which isolators are missing to keep energies away from parts, with the unit standing as it does.

`isolators_of` asks this of a unit in its normal state, before anything is written. Here a procedure has
already turned some isolators off, and what it forgot is asked for.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from proctool.network.isolate import distances_from, price_of, with_bleeds
from proctool.network.least import fewest
from proctool.network.origins import Barrier, Bleed, Task, bled_regions, most_between
from proctool.network.reach import Mask, Network, bits


@dataclass(frozen=True, slots=True)
class Missing:
    """What keeps the origins of some barriers from their targets, besides what does so already."""

    isolators: Mask
    vents: Mask
    """To be opened besides, where a double block and bleed wants one."""
    uncut: Mask
    """Origins that no set of the free isolators cuts as often as asked; the others are cut all the same."""
    unbled: bool = False
    """Whether a bleed that is asked for is not to be had."""


def missing(
    network: Network,
    barriers: Sequence[Barrier],
    off: Mask,
    free: Mask,
    bleeds: Sequence[Bleed] = (),
    vented: Mask = 0,
) -> Missing:
    """The least set of the isolators in `free` that raises the barriers, those in `off` counting already.

    Sets are compared as in `isolators_of`. `bleeds` are the double blocks and bleeds among the barriers, and
    the vents in `vented` are open. Exact within the limit of `least`.
    """
    able: list[Barrier] = []
    uncut = 0
    for barrier in barriers:
        cannot = sum(
            1 << origin
            for origin in bits(barrier.origins)
            if any(
                most_between(network, barrier.energy, 1 << origin, 1 << target, off | free) < barrier.need
                for target in bits(barrier.targets)
            )
        )
        uncut |= cannot
        able.append(Barrier(barrier.energy, barrier.origins & ~cannot, barrier.targets, barrier.need))
    targets = {barrier.energy: 0 for barrier in barriers}
    for barrier in barriers:
        targets[barrier.energy] |= barrier.targets
    price = price_of(network, targets, targets)
    found, kept = with_bleeds(network, Task(tuple(able), tuple(bleeds), ()), free & ~off, off, price)
    chosen = found.chosen or 0
    regions = [
        region & network.vents
        for bleed in kept
        for region in bled_regions(network, bleed, off | chosen) or ()
        if not region & vented
    ]
    opened = fewest(regions, distances_from(network, targets)).chosen or 0
    return Missing(chosen, opened, uncut, len(kept) < len(bleeds))

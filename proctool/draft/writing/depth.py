"""Whether a way of isolating goes as deep as an energy asks, told as the proof tells it of an opened part.

Which isolators are off is chosen before it is known what else is let out with them; so a store that some vent
empties after all may count there as what feeds the part. Here the vents that are open are known.
"""

from __future__ import annotations

from functools import reduce
from operator import or_

from proctool.model.words import KEPT_BY_ALL, Depth
from proctool.network.origins import by_vent
from proctool.network.reach import Mask, Network, bits


def deep(network: Network, part: str, energy: str, off: Mask, vents: Mask, emptied: Mask) -> bool:
    """Whether no single isolator that lets through can bring an energy to a part that stands open.

    `vents` stand open, `emptied` was discharged. For a double block and bleed an open vent must be wherever a
    block that lets through would newly lead.
    """
    at = 1 << network.place[part]
    start = _origins(network, at, energy, off, vents, emptied)
    if not start:
        return True
    bleed = network.unit.energies[energy].depth is Depth.DOUBLE_BLOCK_AND_BLEED
    now = network.danger(energy, start, off)
    for i in bits(off & network.on_line[energy]):
        leaking = 1 << i
        if bleed and not network.within(energy, leaking, 0, now & ~leaking) & at:
            continue
        then = network.danger(energy, start, off & ~leaking)
        if then & at or (bleed and then & ~now and not then & ~now & vents):
            return False
    return not now & at


def _origins(network: Network, at: Mask, energy: str, off: Mask, vents: Mask, emptied: Mask) -> Mask:
    """The sources, and the holders that stay charged and are not joined to the part."""
    by_all = network.unit.energies[energy].form in KEPT_BY_ALL
    sources, holders = network.sources[energy], network.holders & network.on_line[energy]
    live = network.danger(energy, sources, off)
    gone = network.danger(energy, emptied & network.on_line[energy], off)
    leaving = sum(1 << i for i in bits(holders) if by_vent(network, i, energy))
    ways_out = (vents | at) & network.on_line[energy]
    out = leaving & network.sure(energy, ways_out, off) if ways_out else 0
    held = (holders if by_all else holders & network.stores) & ~live & ~out & ~(gone & ~leaving)
    trapped = network.danger(energy, held, off) & holders & ~live & ~out
    return sources | (live & holders | held | trapped) & ~network.danger(energy, at, off)


def beyond(network: Network, parts: tuple[str, ...], off: Mask) -> tuple[str, ...]:
    """Holders cut off with the parts that would press on an isolation that is to be deeper than single.

    What nothing feeds any more is still full, and behind a single isolator that is too thin. For a double
    block and bleed it must also find a vent wherever it could leak to, so all of it is let out.
    """
    found = 0
    for part in parts:
        at = 1 << network.place[part]
        for energy in network.energies_of(part):
            depth = network.unit.energies[energy].depth
            if depth is Depth.SINGLE:
                continue
            every = depth is Depth.DOUBLE_BLOCK_AND_BLEED
            passing = [0] if every else [off & ~(1 << i) for i in bits(off & network.on_line[energy])]
            reached = reduce(or_, (network.danger(energy, at, still) for still in passing), 0)
            live = network.danger(energy, network.sources[energy], off)
            found |= reached & network.holders & ~live & ~network.danger(energy, at, off)
    return network.names(found)

"""The way by which an energy comes from where it is to a part."""

from __future__ import annotations

from heapq import heappop, heappush

from proctool.network.reach import Mask, Network, bits


def way(
    network: Network, energy: str, origins: Mask, target: int, off: Mask, barred: Mask = 0
) -> tuple[int, ...] | None:
    """Places from an origin to the target, both included; None where nothing joins them.

    It passes what the danger reach passes, and isolators in `off` where it must: of all ways one past the
    fewest of these, then one of the fewest lines, then the first in file order. So there are none of them on
    it exactly if the target is in the danger reach of the origins. It never enters the parts in `barred`.
    """
    came: dict[int, int] = {}
    queue = [(0, 0, place, -1) for place in bits(origins)]
    while queue:
        shut, lines, here, before = heappop(queue)
        if here in came:
            continue
        came[here] = before
        if here == target:
            return tuple(_back(came, here))[::-1]
        if lines and (network.vents | network.gauges) >> here & 1:
            continue
        if lines and network.isolators & off & 1 << here:
            shut += 1
        for there in bits(network.neighbours[energy][here] & ~barred):
            if there not in came:
                heappush(queue, (shut, lines + 1, there, here))
    return None


def _back(came: dict[int, int], here: int) -> list[int]:
    """The places of a way, the last one first."""
    found = []
    while here >= 0:
        found.append(here)
        here = came[here]
    return found

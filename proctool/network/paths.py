"""Paths from origins to targets past too few isolators that are off, as demands on a set of isolators.

Paths are sought on a graph of isolators alone (which are next to the origins, to each other, to the targets),
so that the size of a unit hardly matters, only the number of isolators on the way.
"""

from __future__ import annotations

from collections.abc import Iterable
from heapq import heappop, heappush

from proctool.network.least import Demand, Unmet
from proctool.network.origins import Barrier
from proctool.network.reach import Mask, Network, bits

_Passed = tuple[int, int]
"""An isolator, and how many of those passed up to it are off."""
_START: _Passed = (-1, 0)


class Paths:
    """The barriers of a task, each on its graph."""

    def __init__(self, network: Network, barriers: Iterable[Barrier]) -> None:
        self.graphs = [_Graph(network, barrier) for barrier in barriers]

    def unmet(self, base: Mask) -> Unmet:
        """Paths that are not stopped as often as they must, `base` being off in any case."""

        def unmet(chosen: Mask, free: Mask, taken: Mask) -> Demand | None:
            for graph in self.graphs:
                demand = graph.path(base | chosen, free & ~taken, taken)
                if demand is not None:
                    return demand
            return None

        return unmet


class _Graph:
    """The isolators on the energy of one barrier."""

    def __init__(self, network: Network, barrier: Barrier) -> None:
        energy = barrier.energy
        here = network.isolators & network.on_line[energy]
        reach = {i: network.danger(energy, 1 << i, here) & ~(1 << i) for i in bits(here)}
        self.need = barrier.need
        self.entries = network.danger(energy, barrier.origins, here) & here
        self.exits = sum(1 << i for i, reached in reach.items() if reached & barrier.targets)
        self.next = {i: reached & here for i, reached in reach.items()}

    def path(self, off: Mask, free: Mask, barred: Mask) -> Demand | None:
        """A path from origins to targets past fewer than `need` isolators that are off, as a demand.

        Isolators neither off nor free pass for good. Of all such paths one past the fewest isolators that
        are off or free, and never past one in `barred`.
        """
        came: dict[_Passed, _Passed] = {}
        queue: list[tuple[int, _Passed, _Passed]] = []

        def reach(mask: Mask, cost: int, before: _Passed) -> None:
            for i in bits(mask & ~barred):
                passed = (i, before[1] + (off >> i & 1))
                if passed[1] < self.need and passed not in came:
                    heappush(queue, (cost + ((off | free) >> i & 1), passed, before))

        reach(self.entries, 0, _START)
        while queue:
            cost, here, before = heappop(queue)
            if here in came:
                continue
            came[here] = before
            if self.exits >> here[0] & 1:
                need, among = self.need - here[1], 0
                while here != _START:
                    among |= 1 << here[0]
                    here = came[here]
                return Demand(among & free, need)
            reach(self.next[here[0]], cost, here)
        return None

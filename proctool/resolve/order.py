"""Which step comes before which: the order of every list laid over the flat steps of a frame."""

from __future__ import annotations

import networkx as nx

from proctool.network.reach import bits
from proctool.resolve.draft import StepList


def before_masks(top: StepList, count: int) -> tuple[int, ...]:
    """For each of `count` steps the mask of all steps that come before it in every order.

    An entry that expands to nothing passes its order on. Raises `OrderError` with the steps of a cycle.
    """
    direct = [0] * count
    _collect(top, direct)
    graph: nx.DiGraph[int] = nx.DiGraph((j, i) for i, mask in enumerate(direct) for j in bits(mask))
    before = [0] * count
    try:
        for i in nx.topological_sort(graph):
            for j in bits(direct[i]):
                before[i] |= before[j] | 1 << j
    except nx.NetworkXUnfeasible:
        raise OrderError(tuple(edge[0] for edge in nx.find_cycle(graph))) from None
    return tuple(before)


class OrderError(Exception):
    """The order has a cycle; `steps` are the places of the steps on it."""

    def __init__(self, steps: tuple[int, ...]) -> None:
        super().__init__(steps)
        self.steps = steps


def _collect(steps: StepList, direct: list[int]) -> None:
    for place, child in enumerate(steps.children):
        earlier = 0
        for other in _all_before(steps, place):
            earlier |= steps.children[other].mask
        for each, mask in child.before_copies:
            earlier |= mask
            for other in _all_before(steps, each):
                earlier |= steps.children[other].mask
        for i in bits(child.mask):
            direct[i] |= earlier
        if child.inner is not None:
            _collect(child.inner, direct)


def _all_before(steps: StepList, place: int) -> set[int]:
    """Entries before one entry, through those that expand to nothing."""
    found: set[int] = set()
    front = [place]
    while front:
        child = steps.children[front.pop()]
        fresh = child.before - found
        found |= fresh
        front += (i for i in fresh if not steps.children[i].mask)
    return found

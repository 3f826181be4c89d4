"""The least set of parts that meets every demand: an exact search, with a limit that is told.

A *demand* names parts of which at least so many must be chosen (the isolators along a path that must be
stopped, the vents that could relieve a part). The rank of a set is compared number by number: the sum of
`first` over its parts, then the `loss` of the whole set, then the sum of `last` over its parts. The set of
the least rank is found by branch and bound: demands without a part in common give what is still to be paid
at least, and a branch that cannot come below the best set known is left.

Cost: exact, and exponential at worst. Cuts in units of the usual shape (few parts between source and work,
in series or side by side) take some dozens of nodes. After `NODES` nodes the search stops, and the best set
known is returned, marked as not proven least.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import or_

from proctool.network.reach import Mask, bits

NODES = 5_000
"""Limit of a search, met after half a second or so; a count, so that every machine gives the same answer."""


@dataclass(frozen=True, slots=True)
class Demand:
    """At least `need` of the parts in `among` must be chosen."""

    among: Mask
    need: int = 1


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found."""

    chosen: Mask | None
    """A set that meets every demand, or None."""
    least: bool
    """The search was carried to its end: no set has a lower rank; or, where there is none, none meets all."""


Unmet = Callable[[Mask, Mask, Mask], Demand | None]
"""`unmet(chosen, free, taken)`: a demand on the free parts that `chosen` does not meet, all of them besides
those in `taken`; None if there is none. Free parts and no others may still be chosen."""

Wanting = Callable[[Mask, Mask], Mask | None]
"""`wanting(chosen, free)`: None if a set that meets every demand will do; else free parts, one of which at
least must come to it before it can."""

Rank = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Price:
    """What a choice costs; `first` and `last` by place, never negative."""

    first: Sequence[int]
    last: Sequence[int]
    loss: Callable[[Mask], Mask] = lambda _: 0
    """What is lost, to be counted; a larger set loses that too."""


def rank_of(price: Price, chosen: Mask) -> Rank:
    """What a set costs, to be compared number by number."""
    first, last = (_paid(sums, chosen, []) for sums in (price.first, price.last))
    return first, price.loss(chosen).bit_count(), last


def nearest_first(distances: Sequence[int]) -> list[int]:
    """Weights by place whose sum ranks sets of one size by the sum of distances, then by place in the file.

    Of two sets that one comes first in the file whose first part not in the other stands earlier.
    """
    count = len(distances)
    far = 1 << 2 * count  # more than all weights of place together
    return [distance * far + (1 << count) - (1 << count - 1 - i) for i, distance in enumerate(distances)]


def least(free: Mask, unmet: Unmet, price: Price, wanting: Wanting | None = None) -> Found:
    """The least subset of `free` that meets every demand and wants nothing.

    No two sets may have the same rank, or which of them is returned depends on the order of the demands;
    `nearest_first` in `last` sees to that.
    """
    search = _Search(unmet, price, wanting)
    search.visit(0, free)
    if search.best:
        return Found(search.best[1], search.nodes <= NODES)
    if search.nodes > NODES and not wanting and unmet(free, 0, 0) is None:
        return Found(_spared(free, unmet, price), least=False)
    return Found(None, search.nodes <= NODES)


def _spared(free: Mask, unmet: Unmet, price: Price) -> Mask:
    """All of `free` but what can be spared, the dearest looked at first: enough, if not the least."""
    chosen = free
    for i in sorted(bits(free), key=lambda i: (price.first[i], price.last[i]), reverse=True):
        if unmet(chosen & ~(1 << i), 0, 0) is None:
            chosen &= ~(1 << i)
    return chosen


class _Search:
    """One run of the branch and bound."""

    def __init__(self, unmet: Unmet, price: Price, wanting: Wanting | None) -> None:
        self.unmet = unmet
        self.price = price
        self.wanting = wanting
        self.best: tuple[Rank, Mask] | None = None
        self.nodes = 0

    def visit(self, chosen: Mask, free: Mask) -> None:
        """Look at all sets that hold `chosen` and otherwise only parts of `free`."""
        self.nodes += 1
        if self.nodes > NODES:
            return
        demands = self._apart(chosen, free)
        if demands is None or self._hopeless(chosen, demands):
            return
        if demands:
            among = min(demands, key=lambda d: (d.among.bit_count() - d.need, d.among)).among
        else:
            mend = self.wanting(chosen, free) if self.wanting else None
            if mend is None:
                self.best = (rank_of(self.price, chosen), chosen)
                return
            among = mend
        for i in sorted(bits(among), key=lambda i: (self.price.first[i], self.price.last[i])):
            free &= ~(1 << i)
            self.visit(chosen | 1 << i, free)

    def _apart(self, chosen: Mask, free: Mask) -> list[Demand] | None:
        """Unmet demands no two of which share a part; None if one cannot be met."""
        found: list[Demand] = []
        taken = 0
        while (demand := self.unmet(chosen, free, taken)) is not None:
            if demand.among.bit_count() < demand.need:
                return None
            found.append(demand)
            taken |= demand.among
        return found

    def _hopeless(self, chosen: Mask, demands: list[Demand]) -> bool:
        """Whether no set down this branch can come below the best one known."""
        if self.best is None:
            return False
        first, loss, last = self.best[0]
        # Compared number by number, so that the loss, dear to work out, is asked only where it decides.
        bound = _paid(self.price.first, chosen, demands)
        if bound != first:
            return bound > first
        bound = self._lost(chosen, demands)
        if bound != loss:
            return bound > loss
        return _paid(self.price.last, chosen, demands) >= last

    def _lost(self, chosen: Mask, demands: list[Demand]) -> int:
        """How much is lost at least, however the demands are met."""
        lost = self.price.loss(chosen)
        for demand in demands:
            # What fewer than `need` of the parts asked for would spare is lost whichever are taken.
            spared = [0] * demand.need
            for i in bits(demand.among):
                spares = ~self.price.loss(chosen | 1 << i)
                for k in reversed(range(1, demand.need)):
                    spared[k] |= spared[k - 1] & spares
                spared[0] |= spares
            lost |= ~spared[-1]
        return lost.bit_count()


def _paid(weights: Sequence[int], chosen: Mask, demands: list[Demand]) -> int:
    """What `chosen` costs, and the least that the demands will cost besides."""
    total = sum(weights[i] for i in bits(chosen))
    for demand in demands:
        if demand.need == 1:
            total += min(weights[i] for i in bits(demand.among))
        else:
            total += sum(sorted(weights[i] for i in bits(demand.among))[: demand.need])
    return total


def fewest(groups: Sequence[Mask], distances: Sequence[int]) -> Found:
    """One part out of each group, none of them empty: as few as can be, then as near, then first in the file.

    `distances` by place; they are summed.
    """

    def unmet(chosen: Mask, free: Mask, taken: Mask) -> Demand | None:
        return next((Demand(group & free) for group in groups if not group & (chosen | taken)), None)

    return least(reduce(or_, groups, 0), unmet, Price([1] * len(distances), nearest_first(distances)))

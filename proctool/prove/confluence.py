"""Whether all orders end alike: those of the main steps in which every check passes, walked by themselves.

Where two of them end in different states, one is turned into the other by swapping two steps side by side,
one pair after the other: any two orders of the same steps are joined by such swaps, each of them an order
that the graph allows. On the way the end must change at some swap: two steps can be named that it hangs on.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from proctool.model.finding import Move
from proctool.model.plan import Frame
from proctool.model.verdict import Fork
from proctool.network.reach import Mask, bits
from proctool.prove.apart import WHOLE, Apart, Parting
from proctool.prove.charge import settle
from proctool.prove.orders import Groups
from proctool.prove.setup import Setup
from proctool.prove.state import State, masks
from proctool.prove.step import do_step
from proctool.prove.words import begin

Order = tuple[int, ...]
"""Places of steps in the main frame."""

_REMEMBERED = 1 << 15


def fork(setup: Setup, frame: Frame, apart: Apart | None = None) -> Fork | None:
    """Two orders of a frame that end differently, or None where all end alike.

    The two are the first in file order, and of those that end otherwise again the first. With `apart`,
    branches that share nothing are done one after the other: that leaves out no end.
    Cost: the pairs of done steps and state in which every check passes. They are some of those that the proof
    looks at; call it where those were few enough.
    """
    if all(earlier.bit_count() == place for place, earlier in enumerate(frame.before)):
        return None  # one order only
    walk = _Walk(setup, frame, apart)
    one, other = walk.ends()
    return walk.narrowed(one, other) if other is not None else None


class Pair(NamedTuple):
    """What is done and the state then, with the branches of the group under way."""

    done: Mask
    state: State
    parting: Parting


class _Walk:
    """The steps of a frame done one after the other, every check passing."""

    def __init__(self, setup: Setup, frame: Frame, apart: Apart | None) -> None:
        self.setup, self.frame, self.apart = setup, frame, apart
        self.groups = Groups(frame)
        self.start = settle(setup, begin(setup))
        self._after = lru_cache(_REMEMBERED)(self._do)

    def _do(self, place: int, state: State) -> State:
        step = self.frame.steps[place]
        return do_step(self.setup, state, step, True if step.may_fail else None)[0]

    def _end(self, order: Order) -> State:
        state = self.start
        for place in order:
            state = self._after(place, state)
        return state

    def ends(self) -> tuple[Order, Order | None]:
        """The first order in file order, and the first of those that end otherwise."""
        pair = Pair(0, self.start, WHOLE)
        one: list[int] = []
        while len(one) < len(self.frame.steps):
            place = next(self._next(pair.done))
            one.append(place)
            pair = self._onward(pair, place)
        end = pair.state
        return tuple(one), self._other(end)

    def _other(self, end: State) -> Order | None:
        """The first order in file order that ends otherwise."""
        pair = self._entered(Pair(0, self.start, WHOLE))
        rest = self._search(pair, end)
        if rest is None:
            return None
        order: list[int] = []
        while rest:
            for place in self._next(pair.done):
                onward = self._onward(pair, place)
                way = rest[1:] if place == rest[0] else self._search(onward, end)
                if way is not None:
                    order.append(place)
                    pair, rest = onward, way
                    break
        return tuple(order)

    def _search(self, start: Pair, end: State) -> Order | None:
        """How to go on so as to end in another state than `end`: layer by layer over sets of done steps."""
        layer: dict[Pair, Order] = {start: ()}
        for _ in range(len(self.frame.steps) - start.done.bit_count()):
            onward: dict[Pair, Order] = {}
            for pair, order in layer.items():
                for place in self._next(pair.done, pair.parting):
                    onward.setdefault(self._onward(pair, place), (*order, place))
            layer = onward
        return next((order for pair, order in layer.items() if pair.state != end), None)

    def _next(self, done: Mask, parting: Parting = WHOLE) -> Iterator[int]:
        allowed = next((branch for branch in parting if branch & ~done), -1)
        for place in bits(self.groups.open_to(done) & allowed):
            if not self.frame.before[place] & ~done:
                yield place

    def _onward(self, pair: Pair, place: int) -> Pair:
        onward = Pair(pair.done | 1 << place, self._after(place, pair.state), pair.parting)
        same = self.groups.current(onward.done) == self.groups.current(pair.done)
        return onward if same else self._entered(onward)

    def _entered(self, pair: Pair) -> Pair:
        """A pair with the branches of the group that it enters."""
        if self.apart is None:
            return pair
        return pair._replace(parting=self.apart.entered(self.groups.current(pair.done), pair.state))

    def narrowed(self, one: Order, other: Order) -> Fork:
        """Two orders between these that differ in two neighbours only, and end differently."""
        orders = _swaps(one, other)
        low, high = 0, len(orders) - 1
        end = self._end(one)
        while high - low > 1:  # the order at `low` ends as `one` does, that at `high` does not
            middle = (low + high) // 2
            low, high = (middle, high) if self._end(orders[middle]) == end else (low, middle)
        left, right = orders[low], orders[high]
        place = next(i for i, (a, b) in enumerate(zip(left, right, strict=True)) if a != b)
        return Fork(
            self._moves(left),
            self._moves(right),
            (self.frame.steps[left[place]].id, self.frame.steps[right[place]].id),
            self._differ(self._end(left), self._end(right)),
        )

    def _moves(self, order: Order) -> tuple[Move, ...]:
        steps = (self.frame.steps[place] for place in order)
        return tuple(Move(step.id, True if step.may_fail else None) for step in steps)

    def _differ(self, one: State, other: State) -> tuple[str, ...]:
        """What is not the same in two states: parts in file order, then conditions."""
        mask = 0
        for a, b in zip(masks(one), masks(other), strict=True):
            mask |= a ^ b
        values = zip(self.setup.conditions, one.conditions, other.conditions, strict=True)
        conditions = (name for name, left, right in values if left != right)
        return (*(self.setup.network.ids[i] for i in bits(mask)), *conditions)


def _swaps(one: Order, other: Order) -> list[Order]:
    """The orders from `one` to `other`, each a swap of two neighbours away from the one before it."""
    rank = {place: i for i, place in enumerate(other)}
    order, found = list(one), [one]
    swapped = True
    while swapped:
        swapped = False
        for i in range(len(order) - 1):
            if rank[order[i]] > rank[order[i + 1]]:
                order[i], order[i + 1] = order[i + 1], order[i]
                found.append(tuple(order))
                swapped = True
    return found

"""How many orders a frame allows: its linear extensions, counted exactly.

Counting is #P-complete in general (Brightwell and Winkler 1991), so the count is given up, never guessed,
when more sets of done steps come up than `limit`. Groups with no order between them multiply, and steps
ordered against all others cut the problem in two; what remains is counted over the sets of done steps.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from functools import lru_cache
from itertools import accumulate
from math import comb
from operator import or_

from proctool.model.plan import Frame
from proctool.network.reach import bits

_LIMIT = 100_000

_REMEMBERED = 1 << 12


def count_orders(frame: Frame, limit: int = _LIMIT) -> int | None:
    """The number of linear extensions, or None where counting takes more than `limit` sets of done steps."""
    budget = [limit]
    try:
        return _count((1 << len(frame.before)) - 1, frame.before, budget)
    except _TooManyError:
        return None


class _TooManyError(Exception):
    """The budget for counting is spent."""


def _count(steps: int, before: tuple[int, ...], budget: list[int]) -> int:
    result = 1
    for group in series(steps, before):
        parts = branches(group, before)
        if len(parts) == 1:
            result *= _count_sets(group, before, budget)
            continue
        free = group.bit_count()
        for branch in parts:
            size = branch.bit_count()
            result *= comb(free, size) * _count(branch, before, budget)
            free -= size
    return result


def series(steps: int, before: tuple[int, ...]) -> list[int]:
    """Consecutive groups such that every step of one comes before every step of the next."""
    ranked = sorted(bits(steps), key=lambda i: (before[i] & steps).bit_count())
    common = [steps] * (len(ranked) + 1)  # for each rank what comes before all steps of this rank and higher
    for rank in range(len(ranked) - 1, -1, -1):
        common[rank] = common[rank + 1] & before[ranked[rank]]
    groups, group, done = [], 0, 0
    for rank, i in enumerate(ranked):
        if group and not done & ~common[rank]:
            groups.append(group)
            group = 0
        group |= 1 << i
        done |= 1 << i
    return [*groups, group] if group else groups


class Groups:
    """The consecutive groups of a frame, and which of them is under way."""

    def __init__(self, frame: Frame) -> None:
        self.steps = series((1 << len(frame.steps)) - 1, frame.before)
        self.done = list(accumulate(self.steps, or_))
        """What is done when each group is complete."""
        self.current = lru_cache(_REMEMBERED)(self._current)
        """From what is done to the first group that is not complete; the number of groups, where all are."""

    def _current(self, done: int) -> int:
        return bisect_right(self.done, 0, key=lambda mask: 0 if not mask & ~done else 1)

    def open_to(self, done: int) -> int:
        """The steps that are not done and of which some may come next: those of the group under way."""
        number = self.current(done)
        return self.steps[number] & ~done if number < len(self.steps) else 0


def joined(sets: Iterable[int]) -> list[int]:
    """Sets that have something in common made one; by their lowest member."""
    found: list[int] = []
    for one in sets:
        whole = one
        for other in found:
            if other & one:
                whole |= other
        found = [*(other for other in found if not other & one), whole]
    return sorted(found, key=lambda one: one & -one)


def branches(steps: int, before: tuple[int, ...]) -> list[int]:
    """The connected groups among steps: nothing orders one against another."""
    return joined(1 << i | before[i] & steps for i in bits(steps))


def _count_sets(steps: int, before: tuple[int, ...], budget: list[int]) -> int:
    """Count over the sets of done steps, layer by layer."""
    layer = {0: 1}
    for _ in range(steps.bit_count()):
        onward: dict[int, int] = {}
        for done, ways in layer.items():
            for i in bits(steps & ~done):
                if not before[i] & steps & ~done:
                    onward[done | 1 << i] = onward.get(done | 1 << i, 0) + ways
        budget[0] -= len(onward)
        if budget[0] < 0:
            raise _TooManyError
        layer = onward
    return next(iter(layer.values()), 1)

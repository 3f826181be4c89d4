"""How many orders a frame allows: its linear extensions, counted exactly.

Counting is #P-complete in general (Brightwell and Winkler 1991), so the count is given up, never guessed,
when more sets of done steps come up than `limit`. Groups with no order between them multiply, and steps
ordered against all others cut the problem in two; what remains is counted over the sets of done steps.
"""

from __future__ import annotations

from math import comb

from proctool.model.plan import Frame
from proctool.network.reach import bits

_LIMIT = 100_000


def count_orders(frame: Frame, limit: int = _LIMIT) -> int | None:
    """The number of linear extensions, or None where counting takes more than `limit` sets of done steps."""
    before = frame.before
    after = [0] * len(before)
    for i, earlier in enumerate(before):
        for j in bits(earlier):
            after[j] |= 1 << i
    budget = [limit]
    try:
        return _count((1 << len(before)) - 1, before, after, budget)
    except _TooManyError:
        return None


class _TooManyError(Exception):
    """The budget for counting is spent."""


def _count(steps: int, before: tuple[int, ...], after: list[int], budget: list[int]) -> int:
    result = 1
    for series in _series(steps, before):
        branches = _branches(series, before, after)
        if len(branches) == 1:
            result *= _count_sets(series, before, budget)
            continue
        free = series.bit_count()
        for branch in branches:
            size = branch.bit_count()
            result *= comb(free, size) * _count(branch, before, after, budget)
            free -= size
    return result


def _series(steps: int, before: tuple[int, ...]) -> list[int]:
    """Consecutive groups such that every step of one comes before every step of the next."""
    ranked = sorted(bits(steps), key=lambda i: (before[i] & steps).bit_count())
    groups, group, done = [], 0, 0
    for i in ranked:
        if group and all(before[j] & done == done for j in bits(steps & ~done)):
            groups.append(group)
            group = 0
        group |= 1 << i
        done |= 1 << i
    return [*groups, group] if group else groups


def _branches(steps: int, before: tuple[int, ...], after: list[int]) -> list[int]:
    """The connected groups among steps: nothing orders one against another."""
    found = []
    while steps:
        branch = front = steps & -steps
        while front:
            joined = 0
            for i in bits(front):
                joined |= (before[i] | after[i]) & steps
            front = joined & ~branch
            branch |= joined
        found.append(branch)
        steps &= ~branch
    return found


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

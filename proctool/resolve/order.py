"""Which step comes before which: the order of every list laid over the flat steps of a frame."""

from __future__ import annotations

from itertools import accumulate
from operator import or_

from proctool.network.reach import bits
from proctool.resolve.draft import StepList


def before_masks(top: StepList, count: int) -> tuple[int, ...]:
    """For each of `count` steps the mask of all steps that come before it in every order.

    An entry that expands to nothing passes its order on. Raises `OrderError` with the steps of a cycle.
    """
    direct = [0] * count
    _collect(top, direct)
    before = [0] * count
    done = 0
    for start in range(count):
        waiting = [] if done >> start & 1 else [start]
        while waiting:
            step = waiting[-1]
            first = direct[step] & ~done
            if not first:
                before[step] = _closed(direct[step], before)
                done |= 1 << waiting.pop()
                continue
            other = first.bit_length() - 1
            if other in waiting:
                raise OrderError(_shortest(direct, waiting[waiting.index(other) :]))
            waiting.append(other)
    return tuple(before)


class OrderError(Exception):
    """The order has a cycle: each of `steps` waits for the next, the last for the first.

    The first of them waits for a later one of the file.
    """

    def __init__(self, steps: tuple[int, ...]) -> None:
        super().__init__(steps)
        self.steps = steps


def _closed(direct: int, before: list[int]) -> int:
    """What comes before a step: what it waits for, and what comes before that."""
    found, rest = direct, direct
    while rest:
        last = rest.bit_length() - 1
        found |= before[last]
        rest &= ~(before[last] | 1 << last)
    return found


def _shortest(direct: list[int], cycle: list[int]) -> tuple[int, ...]:
    """A shortest cycle through the first step of a cycle that waits for a later one."""
    start = min(a for a, b in zip(cycle, (*cycle[1:], cycle[0]), strict=True) if b >= a)
    waits_for = {start: start}
    front = [start]
    for step in front:
        if direct[step] >> start & 1:
            found = [step]
            while found[-1] != start:
                found.append(waits_for[found[-1]])
            return tuple(reversed(found))
        fresh = [other for other in bits(direct[step]) if other not in waits_for]
        waits_for |= dict.fromkeys(fresh, step)
        front += fresh
    return tuple(cycle)


def _collect(steps: StepList, direct: list[int]) -> None:
    children = steps.children
    empty = sum(1 << place for place, child in enumerate(children) if not child.mask)
    upto = tuple(accumulate((child.mask for child in children), or_, initial=0))
    for place, child in enumerate(children):
        earlier = _steps_of(steps, upto, _all_before(steps, empty, place))
        for each, mask in child.before_copies:
            earlier |= mask | _steps_of(steps, upto, _all_before(steps, empty, each))
        for i in bits(child.mask):
            direct[i] |= earlier
        if child.inner is not None:
            _collect(child.inner, direct)


def _steps_of(steps: StepList, upto: tuple[int, ...], entries: int) -> int:
    """The steps of some entries. `upto` holds those of the first entries, none to all."""
    first = entries.bit_length()
    if entries == (1 << first) - 1:
        return upto[first]
    result = 0
    for other in bits(entries):
        result |= steps.children[other].mask
    return result


def _all_before(steps: StepList, empty: int, place: int) -> int:
    """Entries before one entry, through those that expand to nothing."""
    found = front = steps.children[place].before
    while front := front & empty:
        through = front.bit_length() - 1
        fresh = steps.children[through].before & ~found
        found |= fresh
        front = front & ~(1 << through) | fresh
    return found

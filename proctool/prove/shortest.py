"""A shortest trace of each breach, first in file order: as the walk over every mixture of branches finds it.

Walking branches one after the other finds every breach, but perhaps with steps before it that need not be
there. So each is looked for once more with its own branch first. In a shortest run to a breach nothing stands
in the last group but steps of that branch: all others could be left out. What leaves a group for an earlier
one undoes all of it, so that the group has one branch only. What the earlier groups do is done in as many
steps in any order of branches. So the length found is exact, and so it is from every other node.

Which of several shortest runs is first in file order is settled move by move: where a move that was put off
with its branch stands earlier in the file, it is taken if the breach can still be reached in as few moves.
Of the moves that were not put off the walk has found the first.
"""

from __future__ import annotations

from collections.abc import Iterable

from proctool.model.finding import Move
from proctool.model.plan import Frame
from proctool.network.reach import Mask
from proctool.prove.apart import Parting, every_of
from proctool.prove.course import Course, Key
from proctool.prove.sweep import Link, Rank, Way, sweep

Order = tuple[int, tuple[Rank, ...], int]
"""What orders breaches: the length of the trace, its moves, the place among the reports of the last move."""


class Shortest:
    """Looks for the traces of a plan's breaches, once all of them are known."""

    def __init__(self, course: Course, frame: Frame, partings: Iterable[Parting]) -> None:
        self._course = course
        self._partings = tuple(dict.fromkeys(partings))
        self._of_step: dict[str | None, Mask] = {
            inner.id: 1 << place for place, step in enumerate(frame.steps) for inner in every_of(step)
        }
        """The step of the main list that each step belongs to."""
        self._starts = [Link(node, rank=(0, False, i)) for i, node in enumerate(course.start().nodes)]

    def ways(self, found: dict[Key, Way]) -> dict[Key, Way]:
        """The ways to all breaches, given those that were found with branches in file order."""
        by_branch: dict[tuple[Mask, ...], list[Key]] = {}
        for key in found:
            by_branch.setdefault(self._branches(key), []).append(key)
        result: dict[Key, Way] = {}
        for branches, keys in by_branch.items():
            first = self._of_step.get(keys[0][1], 0)
            direct = sweep(self._course, self._starts, first, goals=set(keys)) if any(branches) else found
            for key in keys:
                result[key] = self._first(direct[key], key, first)
        return result

    def _branches(self, key: Key) -> tuple[Mask, ...]:
        """For each parting the branch that a breach belongs to; none where that goes first anyway."""
        step = self._of_step.get(key[1], 0)
        mine = (next((branch for branch in parting if branch & step), 0) for parting in self._partings)
        return tuple(b if b != p[0] else 0 for b, p in zip(mine, self._partings, strict=True))

    def _first(self, way: Way, key: Key, first: Mask) -> Way:
        """The first in file order of the ways to a breach that are as short."""
        links = way.links()
        place = 0
        while place < len(links):
            link = links[place]
            ours = links[place + 1].rank if place + 1 < len(links) else way.rank
            left = len(links) - place - 1
            if link.node.parting:
                earlier = self._earlier(link, key, first, ours, left)
                if earlier is not None:
                    way = earlier
                    links = way.links()
            place += 1
        return way

    def _earlier(self, link: Link, key: Key, first: Mask, ours: Rank, left: int) -> Way | None:
        """A way of the same length by a move that was put off and stands before `ours`."""
        taken = {place for place, _, _ in self._course.moves(link.node, first)}
        for place, step, passed in self._course.every_move(link.node):
            if place in taken or (place, passed is False, 0) > ours:
                continue
            onward = self._course.go(link.node, place, step, passed)
            for number, node in enumerate(onward.nodes if left else ()):
                follower = Link(node, link, Move(step.id, passed), (place, passed is False, number))
                found = sweep(self._course, (follower,), first, goals={key}, most=left)
                if found:
                    return found[key]
        return None


def order(way: Way) -> Order:
    """What orders a breach among others."""
    links = way.links()
    ranks = (*(link.rank for link in links), way.rank)
    return len(links), ranks, way.number

"""One walk over the nodes of a course, breadth first, with the way to each breach that is met.

Breadth first, moves in file order and "passed" before "failed", makes the first way found to every breach a
shortest one among those that the course goes, and of these the first in file order.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass

from proctool.model.finding import Move
from proctool.network.reach import Mask
from proctool.prove.course import Course, Key, Node, Onward

Rank = tuple[int, bool, int]
"""A move as it is ordered: its place, whether it failed, and to which of the nodes after it the run goes."""


@dataclass(frozen=True, slots=True)
class Link:
    """A node, and how it was first reached."""

    node: Node
    parent: Link | None = None
    move: Move | None = None
    rank: Rank = (0, False, 0)


@dataclass(frozen=True, slots=True)
class Way:
    """A run to a breach."""

    link: Link | None
    """The node before its last move; None where there is no move."""
    move: Move | None
    """The last move."""
    rank: Rank
    number: int
    """The place of the breach among the reports of the last move."""

    def links(self) -> list[Link]:
        """The nodes on the way, first to last."""
        found: list[Link] = []
        link = self.link
        while link is not None:
            found.append(link)
            link = link.parent
        return found[::-1]

    def moves(self) -> tuple[Move, ...]:
        """All moves."""
        moves = (*(link.move for link in self.links()), self.move)
        return tuple(move for move in moves if move is not None)


class SpentError(Exception):
    """More pairs were met than the budget allows."""

    def __init__(self, found: dict[Key, Way]) -> None:
        super().__init__()
        self.found = found
        """The ways found up to there."""


Watch = Callable[[Node, str, Onward], None]
"""Told of each move: from where, by which step, to what."""


def sweep(
    course: Course,
    starts: Iterable[Link],
    first: Mask = 0,
    *,
    goals: Collection[Key] | None = None,
    most: int | None = None,
    watch: Watch | None = None,
) -> dict[Key, Way]:
    """The ways to the breaches in `goals`, all breaches if None, in at most `most` moves beyond the starts.

    Of several branches the one that has a step of `first` goes first. The walk ends when all goals are found.
    Raises SpentError when more pairs were met than the course allows.
    """
    found: dict[Key, Way] = {}
    layer = list(starts)
    seen = {link.node for link in layer}
    left = most
    while layer and left != 0:
        queue = deque(layer)
        layer = []
        while queue:
            if course.spent():
                raise SpentError(found)
            link = queue.popleft()
            for place, step, passed in course.moves(link.node, first):
                onward = course.go(link.node, place, step, passed)
                move = Move(step.id, passed)
                if watch is not None:
                    watch(link.node, step.id, onward)
                for number, (of_step, report) in enumerate(onward.reports):
                    key = report.rule, of_step, report.part
                    if key not in found and (goals is None or key in goals):
                        found[key] = Way(link, move, (place, passed is False, 0), number)
                for number, node in enumerate(onward.nodes):
                    if node not in seen:
                        seen.add(node)
                        layer.append(Link(node, link, move, (place, passed is False, number)))
                if goals is not None and len(found) == len(goals):
                    return found
        left = None if left is None else left - 1
    return found

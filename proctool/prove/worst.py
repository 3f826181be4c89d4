"""The worst charges after each step, over all orders, put together from branches that were walked apart.

What one branch does to charges hangs on nothing that another does, and the other may stand anywhere between
its steps. So after a step of one branch a holder is as that branch leaves it there or, if another branch
changes it, as it is anywhere in that other branch: every such mixture is a state of some order. Each branch
is walked by itself from each pair in which the group is entered, all others waiting.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable
from functools import reduce

from proctool.model.verdict import Charge
from proctool.network.reach import Mask, bits
from proctool.prove.course import Course, Node
from proctool.prove.setup import Setup
from proctool.prove.state import State

Seen = tuple[tuple[Mask, Mask], ...]
"""For each energy the holders that were ever live, and ever trapped."""


def charges(state: State) -> Seen:
    """What is live and trapped in one state."""
    return tuple(zip(state.live, state.trapped, strict=True))


def worse(seen: Seen | None, more: Seen) -> Seen:
    """What was ever seen, with some more."""
    if seen is None:
        return more
    return tuple((a | c, b | d) for (a, b), (c, d) in zip(seen, more, strict=True))


def beyond(seen: Seen, known: Seen) -> Seen:
    """What was seen that is not known."""
    return tuple((a & ~c, b & ~d) for (a, b), (c, d) in zip(seen, known, strict=True))


def shown(setup: Setup, seen: Seen) -> dict[tuple[str, str], Charge]:
    """The worst charge of every holder: live before trapped before zero."""
    found: dict[tuple[str, str], Charge] = {}
    for carrier in setup.carriers:
        live, trapped = seen[carrier.index]
        for place in bits(carrier.holders):
            bit = 1 << place
            found[setup.network.ids[place], carrier.id] = (
                Charge.LIVE if live & bit else Charge.TRAPPED if trapped & bit else Charge.ZERO
            )
    return found


def mixed(course: Course, entries: Iterable[Node]) -> dict[str, Seen]:
    """For each step of a branch, what may be charged after it, the other branches standing anywhere.

    `entries` are the pairs in which a group of several branches is entered.
    """
    found: dict[str, Seen] = {}
    for entry in entries:
        branches = [_walk(course, entry, branch) for branch in entry.parting]
        start = charges(course.state(entry.state))
        for number, (steps, _) in enumerate(branches):
            others = [
                beyond(between, start) for other, (_, between) in enumerate(branches) if other != number
            ]
            for step, after in steps.items():
                found[step] = reduce(worse, others, worse(found.get(step), after))
    return found


def _walk(course: Course, entry: Node, branch: Mask) -> tuple[dict[str, Seen], Seen]:
    """One branch by itself: what is charged after each of its steps, and between its steps."""
    after: dict[str, Seen] = {}
    between = charges(course.state(entry.state))
    alone = Node(entry.stack, entry.state, (branch,))
    seen, queue = {alone}, deque([alone])
    while queue:
        node = queue.popleft()
        if len(node.stack) == 1:
            between = worse(between, charges(course.state(node.state)))
            if not branch & ~node.stack[0].done:
                continue
        for place, step, passed in course.moves(node):
            onward = course.go(node, place, step, passed)
            after[step.id] = worse(after.get(step.id), charges(course.state(onward.state)))
            for follower in onward.nodes:
                if follower not in seen:
                    seen.add(follower)
                    queue.append(follower)
    return after, between

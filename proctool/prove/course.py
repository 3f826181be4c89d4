"""Where a run can go: pairs of (done steps, state), and the moves that lead from one to the next.

A *node* is such a pair with the branches of the group that is under way (`apart`). From a node goes on the
first branch that is not complete; in a group that is walked whole, every step that may come next.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from proctool.model.plan import Plan, Step
from proctool.model.span import Span
from proctool.network.reach import Mask
from proctool.prove.apart import WHOLE, Apart, Parting
from proctool.prove.charge import settle
from proctool.prove.effects import Effects, Number, Told
from proctool.prove.ends import at_end, at_stop
from proctool.prove.frames import Complete, Frames, Run, Stack, Stopped
from proctool.prove.shortcuts import Shortcuts
from proctool.prove.state import State
from proctool.prove.words import begin

Key = tuple[str, str | None, str]
"""A breach: rule, step, part."""


class Node(NamedTuple):
    """A pair, and the branches of the group that is under way."""

    stack: Stack
    state: Number
    parting: Parting


class Onward(NamedTuple):
    """What one move leads to."""

    state: Number
    reports: Told
    nodes: tuple[Node, ...]


class Course:
    """All nodes of a plan, as they are asked for."""

    def __init__(self, plan: Plan, budget: int, shortcuts: Shortcuts, effects: Effects | None = None) -> None:
        self.effects = effects or Effects(plan, numbered=shortcuts.numbered)
        self.setup = self.effects.setup
        self.frames = Frames(plan.frame)
        self.apart = Apart(self.setup, plan.frame) if shortcuts.apart else None
        self.moved: set[Span] = set()
        """Where the acts are written that changed the state in some move made."""
        self._budget = budget
        self._looked: set[tuple[Stack, Number]] = set()

    def state(self, number: Number) -> State:
        """The state that a number stands for."""
        return self.effects.state(number)

    @property
    def pairs(self) -> int:
        """How many pairs of (done steps, state) were met, each counted once."""
        return len(self._looked)

    def spent(self) -> bool:
        """Whether more pairs were met than the budget allows."""
        return len(self._looked) > self._budget

    def start(self) -> Onward:
        """Where every run begins."""
        state = settle(self.setup, begin(self.setup))
        return self._arrive(self.frames.start(), self.effects.number(state), None, ())

    def moves(self, node: Node, first: Mask = 0) -> Iterator[tuple[int, Step, bool | None]]:
        """The moves that go on from a node, in file order, "passed" before "failed".

        Of several branches the one that has a step of `first` goes first, else in file order.
        """
        allowed = self._allowed(node, first)
        for place, step, passed in self.every_move(node):
            if allowed >> place & 1:
                yield place, step, passed

    def every_move(self, node: Node) -> Iterator[tuple[int, Step, bool | None]]:
        """All moves from a node, in file order, "passed" before "failed"."""
        for place, step in self.frames.enabled(node.stack):
            for passed in (True, False) if step.may_fail else (None,):
                yield place, step, passed

    @staticmethod
    def _allowed(node: Node, first: Mask) -> Mask:
        if not node.parting or len(node.stack) > 1:
            return -1
        done = node.stack[0].done
        for branch in sorted(node.parting, key=lambda branch: not branch & first):
            if branch & ~done:
                return branch
        return -1

    def go(self, node: Node, place: int, step: Step, passed: bool | None) -> Onward:
        """Make a move. `place` is that of the step in the list that is under way."""
        number, reports, moved = self.effects.of(step, passed, node.state)
        self.moved |= moved
        return self._arrive(self.frames.after(node.stack, place, passed), number, node, reports)

    def _arrive(
        self,
        nexts: tuple[Run | Complete | Stopped, ...],
        number: Number,
        node: Node | None,
        reports: Told,
    ) -> Onward:
        nodes: list[Node] = []
        for onward in nexts:
            match onward:
                case Run(stack):
                    self._looked.add((stack, number))
                    nodes.append(Node(stack, number, self._parting(stack, number, node)))
                case Complete():
                    reports += tuple((None, report) for report in at_end(self.setup, self.state(number)))
                case Stopped(check):
                    reports += tuple((check, report) for report in at_stop(self.setup, self.state(number)))
        return Onward(number, reports, tuple(nodes))

    def _parting(self, stack: Stack, number: Number, node: Node | None) -> Parting:
        if self.apart is None or not self.apart.ever:
            return WHOLE
        group = self.apart.group(stack)
        if node is not None and self.apart.group(node.stack) == group:
            return node.parting
        return self.apart.entered(group, self.state(number))

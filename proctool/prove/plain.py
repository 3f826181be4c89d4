"""The plain walk over all orders at once: breadth first over pairs of (done steps, state).

Two runs that have done the same steps and left the unit in the same state have the same future, so the pairs
stand for all linear extensions of the order. Breadth first, steps in file order and "passed" before "failed",
makes the first trace found of every breach a shortest one, ties by file order. Parents are kept to tell it.

The walk ends early only when more pairs are met than the budget allows; then nothing is proven. It takes no
shortcut: `explore` and its shortcuts are held against it.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field
from functools import lru_cache

from proctool.model.finding import Move
from proctool.model.plan import Plan, every_step
from proctool.model.span import Span
from proctool.model.verdict import DEFAULT_BUDGET, Breach, Proof
from proctool.prove.charge import settle
from proctool.prove.confluence import fork
from proctool.prove.ends import at_end, at_stop
from proctool.prove.frames import Complete, Frames, Run, Stack, Stopped
from proctool.prove.orders import count_orders
from proctool.prove.report import Done, Report
from proctool.prove.setup import Setup
from proctool.prove.state import State
from proctool.prove.step import do_step
from proctool.prove.words import begin
from proctool.prove.worst import Seen, charges, shown, worse

_REMEMBERED = 1 << 15
"""Effects of steps on states that are kept: the same state comes up again soon or not at all."""


@dataclass(frozen=True, slots=True)
class Node:
    """One pair, and how it was first reached."""

    stack: Stack
    state: State
    parent: Node | None
    move: Move | None


@dataclass(slots=True)
class Found:
    """Breaches by (rule, step, part): the first trace, and every energy concerned."""

    traces: dict[tuple[str, str | None, str], tuple[Move, ...]] = field(default_factory=dict)
    energies: dict[tuple[str, str | None, str], set[str]] = field(default_factory=dict)

    def add(self, report: Report, step: str | None, node: Node | None, move: Move | None) -> None:
        """Note a report; the first trace of a breach is kept."""
        key = (report.rule, step, report.part)
        if key not in self.traces:
            self.traces[key] = trace(node, move)
            self.energies[key] = set()
        if report.energy is not None:
            self.energies[key].add(report.energy)

    def breaches(self) -> tuple[Breach, ...]:
        """All that was noted, in the order found."""
        return tuple(
            Breach(rule, step, part, tuple(sorted(self.energies[rule, step, part])), trace)
            for (rule, step, part), trace in self.traces.items()
        )


def trace(node: Node | None, move: Move | None) -> tuple[Move, ...]:
    """The moves that lead to a node, and one more."""
    moves = [move] if move else []
    while node is not None:
        if node.move:
            moves.append(node.move)
        node = node.parent
    return tuple(reversed(moves))


def prove_plainly(plan: Plan, *, budget: int = DEFAULT_BUDGET) -> Proof:
    """Explore every order of a plan and both outcomes of every check, pair by pair.

    Returns every breach with a shortest trace. `Proof.explored` is False where the budget ended first.
    Cost: pairs times steps that may come next; a step's effect on a state is worked out once.
    """
    setup = Setup(plan)
    frames = Frames(plan.frame)
    found = Found()
    steps = {step.id: step for step in every_step(plan.frame)}
    worst: dict[str, Seen] = {}
    moved: set[Span] = set()
    seen: set[tuple[Stack, State]] = set()
    queue: deque[Node] = deque()
    explored = True

    @lru_cache(maxsize=_REMEMBERED)
    def effect(step: str, passed: bool | None, state: State) -> Done:
        done, reports = do_step(setup, state, steps[step], passed, moved)
        worst[step] = worse(worst.get(step), charges(done))
        return done, reports

    def arrive(
        nexts: tuple[Run | Complete | Stopped, ...], state: State, node: Node | None, move: Move | None
    ) -> None:
        for onward in nexts:
            match onward:
                case Complete():
                    for report in at_end(setup, state):
                        found.add(report, None, node, move)
                case Stopped(check):
                    for report in at_stop(setup, state):
                        found.add(report, check, node, move)
                case Run(stack):
                    if (stack, state) not in seen:
                        seen.add((stack, state))
                        queue.append(Node(stack, state, node, move))

    arrive(frames.start(), settle(setup, begin(setup)), None, None)
    while queue:
        if len(seen) > budget:
            explored = False
            break
        node = queue.popleft()
        for place, step in frames.enabled(node.stack):
            for passed in (True, False) if step.may_fail else (None,):
                state, reports = effect(step.id, passed, node.state)
                move = Move(step.id, passed)
                for report in reports:
                    found.add(report, step.id, node, move)
                arrive(frames.after(node.stack, place, passed), state, node, move)
    return Proof(
        found.breaches(),
        explored,
        len(seen),
        count_orders(plan.frame),
        {step: shown(setup, ever) for step, ever in worst.items()},
        frozenset(moved),
        fork(setup, plan.frame) if explored else None,
    )

"""The runs of a plan that can really happen when people see what there is to see.

As in the proof all orders are walked, breadth first over pairs of (done steps, state), so the first trace
found is a shortest one; but a check that fails for certain does not pass, and a step with an unmet need is
not begun: the run ends there. What follows a failing check is walked like the rest, so a slip that a check
shows and that still hurts afterwards is not counted as caught.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field

from proctool.draft.slips.shown import fails_for_certain, unmet_need
from proctool.model.finding import Move
from proctool.model.plan import Plan, every_step
from proctool.model.slips import Catch
from proctool.model.verdict import Breach
from proctool.prove.charge import settle
from proctool.prove.ends import at_end, at_stop
from proctool.prove.frames import Complete, Frames, Run, Stack, Stopped
from proctool.prove.plain import Node, trace
from proctool.prove.report import Report
from proctool.prove.setup import Setup
from proctool.prove.state import State
from proctool.prove.step import do_step
from proctool.prove.words import begin

Key = tuple[str, str | None, str]
"""(rule, step, part); the step is None at the end of the procedure."""

Trace = tuple[Move, ...]


@dataclass(slots=True)
class Runs:
    """What the walk found: each breach and each catch with its first trace, in the order found."""

    breaches: dict[Key, Trace] = field(default_factory=dict)
    catches: dict[Catch, Trace] = field(default_factory=dict)
    explored: bool = True


def real_runs(plan: Plan, *, known: frozenset[Key], budget: int) -> Runs:
    """Walk the runs that can really happen. Reports in `known` are no news and catch nothing."""
    return _Walk(plan, known).done(budget)


def really_happens(plan: Plan, breach: Breach, *, known: frozenset[Key]) -> bool:
    """Whether the trace of a breach is a run that can really happen, up to the breach.

    What a step breaks counts although the step shows it, but for what is shown itself: its acts are done.
    """
    setup = Setup(plan)
    steps = {step.id: step for step in every_step(plan.frame)}
    state = settle(setup, begin(setup))
    last = len(breach.trace) - 1
    for place, move in enumerate(breach.trace):
        step = steps[move.step]
        unmet = unmet_need(setup, state, step)
        if unmet is not None and unmet.report not in known:
            return False
        shown = fails_for_certain(setup, state, step) if move.passed else None
        if shown is not None and shown.report not in known:
            return place == last and breach.step == step.id and not _told(breach.rule, breach.part, shown)
        state, _ = do_step(setup, state, step, move.passed)
    return True


def _told(rule: str, part: str, shown: Catch | None) -> bool:
    """Whether a report says no more than what is shown."""
    return shown is not None and (rule, part) == (shown.rule, shown.part)


class _Walk:
    def __init__(self, plan: Plan, known: frozenset[Key]) -> None:
        self.setup = Setup(plan)
        self.frames = Frames(plan.frame)
        self.known = known
        self.found = Runs()
        self.seen: set[tuple[Stack, State]] = set()
        self.queue: deque[Node] = deque()

    def done(self, budget: int) -> Runs:
        start = settle(self.setup, begin(self.setup))
        self._arrive(self.frames.start(), start, None, None)
        while self.queue:
            if len(self.seen) > budget:
                self.found.explored = False
                break
            self._go_on(self.queue.popleft())
        return self.found

    def _go_on(self, node: Node) -> None:
        for place, step in self.frames.enabled(node.stack):
            unmet = unmet_need(self.setup, node.state, step)
            if unmet is not None and unmet.report not in self.known:
                self.found.catches.setdefault(unmet, trace(node, Move(step.id, None)))
                continue
            shown = fails_for_certain(self.setup, node.state, step)
            if shown is not None and shown.report in self.known:
                shown = None
            for passed in (True, False) if step.may_fail else (None,):
                move = Move(step.id, passed)
                state, reports = do_step(self.setup, node.state, step, passed)
                for report in reports:
                    if not _told(report.rule, report.part, shown):
                        self._note(report, step.id, node, move)
                if shown is not None and passed:
                    self.found.catches.setdefault(shown, trace(node, Move(step.id, passed=False)))
                else:
                    self._arrive(self.frames.after(node.stack, place, passed), state, node, move)

    def _note(self, report: Report, step: str | None, node: Node | None, move: Move | None) -> None:
        key = (report.rule, step, report.part)
        if key not in self.known and key not in self.found.breaches:
            self.found.breaches[key] = trace(node, move)

    def _arrive(
        self,
        nexts: tuple[Run | Complete | Stopped, ...],
        state: State,
        node: Node | None,
        move: Move | None,
    ) -> None:
        for onward in nexts:
            match onward:
                case Complete():
                    for report in at_end(self.setup, state):
                        self._note(report, None, node, move)
                case Stopped(check):
                    for report in at_stop(self.setup, state):
                        self._note(report, check, node, move)
                case Run(stack):
                    if (stack, state) not in self.seen:
                        self.seen.add((stack, state))
                        self.queue.append(Node(stack, state, node, move))

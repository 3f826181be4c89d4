"""One run, step by step: checks a trace that the exploration found, and feeds what `show` prints.

It shares the meaning of acts with the exploration, not its search.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proctool.model.finding import Move
from proctool.model.plan import Plan, Step
from proctool.model.verdict import Charge, Snapshot
from proctool.model.words import Role
from proctool.network.reach import bits
from proctool.prove.charge import charge, settle
from proctool.prove.ends import at_end, at_stop
from proctool.prove.frames import Complete, Frames, Run, Stack, Stopped
from proctool.prove.report import Report
from proctool.prove.setup import Setup
from proctool.prove.state import State
from proctool.prove.step import do_step
from proctool.prove.words import begin


@dataclass(frozen=True, slots=True)
class Replay:
    """A run as it went. `snapshots` has one entry for each step; reports carry the step they belong to."""

    start: Snapshot
    snapshots: tuple[Snapshot, ...]
    reports: tuple[tuple[str | None, Report], ...]
    complete: bool
    """Whether the run reaches the end of the procedure, or a stop."""


@dataclass(frozen=True, slots=True)
class Point:
    """A point of a run: the step that was done last, if any, the unit after it, and what may come next."""

    step: Step | None
    passed: bool | None
    state: State
    reports: tuple[Report, ...]
    onward: tuple[Run | Complete | Stopped, ...]


class Runs:
    """Runs of one plan, step by step; what several of them begin with is worked out once."""

    def __init__(self, plan: Plan) -> None:
        self.setup = Setup(plan)
        self._frames = Frames(plan.frame)
        state = settle(self.setup, begin(self.setup))
        self.start = Point(None, None, state, (), self._frames.start())
        self._done: dict[tuple[int, Move], Point] = {}

    def along(self, trace: Sequence[Move]) -> tuple[Point, ...]:
        """The points of a run, the start included. Raises TraceError as `replay` does."""
        points = [self.start]
        for move in trace:
            key = id(points[-1]), move  # points are kept below, so that an id stays that of one point
            if key not in self._done:
                self._done[key] = self._after(points[-1], move)
            points.append(self._done[key])
        return tuple(points)

    def _after(self, point: Point, move: Move) -> Point:
        nexts = list(_nexts(self._frames, point.onward, move))
        if not nexts:
            raise TraceError(f"`{move.step}` cannot come next")
        step = nexts[0][2]
        state, broken = do_step(self.setup, point.state, step, move.passed)
        onward = (end for stack, place, _ in nexts for end in self._frames.after(stack, place, move.passed))
        return Point(step, move.passed, state, tuple(broken), tuple(dict.fromkeys(onward)))


class TraceError(ValueError):
    """A trace names a step that cannot come next: a fault of proctool, not of a procedure."""


def replay(plan: Plan, trace: Sequence[Move]) -> Replay:
    """Walk a trace. Where a failed check may both go back and go on to its `then`, the trace decides.

    Raises:
        TraceError: a step of the trace is not among those that may come next.
    """
    runs = Runs(plan)
    setup, points = runs.setup, runs.along(trace)
    snapshots = [_snapshot(setup, point) for point in points]
    reports: list[tuple[str | None, Report]] = []
    for point in points[1:]:
        step = point.step.id if point.step is not None else None
        reports += ((step, report) for report in point.reports)
    state = points[-1].state
    complete = False
    for end in points[-1].onward:
        match end:
            case Complete():
                complete = True
                reports += ((None, report) for report in at_end(setup, state))
            case Stopped(check):
                complete = True
                reports += ((check, report) for report in at_stop(setup, state))
    return Replay(snapshots[0], tuple(snapshots[1:]), tuple(reports), complete)


def straight_run(plan: Plan) -> tuple[Move, ...]:
    """The run in file order in which every check passes."""
    done = 0
    moves: list[Move] = []
    frame = plan.frame
    while len(moves) < len(frame.steps):
        place = next(i for i, b in enumerate(frame.before) if not done >> i & 1 and not b & ~done)
        step = frame.steps[place]
        moves.append(Move(step.id, True if step.may_fail else None))
        done |= 1 << place
    return tuple(moves)


def _nexts(
    frames: Frames, onward: Sequence[Run | Complete | Stopped], move: Move
) -> Iterator[tuple[Stack, int, Step]]:
    """Every place in the plan at which a move may come next; what comes later tells which was meant."""
    for end in onward:
        if isinstance(end, Run):
            for place, step in frames.enabled(end.stack):
                if step.id == move.step and step.may_fail is (move.passed is not None):
                    yield end.stack, place, step


def _snapshot(setup: Setup, point: Point) -> Snapshot:
    net, state = setup.network, point.state
    charges: dict[tuple[str, str], Charge] = {}
    for carrier in setup.carriers:
        for place in bits(carrier.holders):
            charges[net.ids[place], carrier.id] = charge(setup, state, place, carrier)
    words = {part.id: _words(setup, state, i) for i, part in enumerate(net.parts)}
    return Snapshot(
        point.step.id if point.step is not None else "",
        point.passed,
        charges,
        {name: said for name, said in words.items() if said},
    )


def _words(setup: Setup, state: State, place: int) -> tuple[str, ...]:
    """How a part stands, in plain words; nothing for what is as one expects of it."""
    part, bit = setup.network.parts[place], 1 << place
    said = []
    if part.role is Role.ISOLATOR:
        said.append(state.position(bit).value)
        if state.locked & bit:
            said.append("locked")
    if part.role is Role.VENT and state.vented & bit:
        said.append("vent open")
    if state.opened & bit:
        said.append("opened")
    if state.uncovered & bit:
        said.append("uncovered")
    if part.runs:
        said.append("running" if state.running & bit else "stopped")
    if state.owed & bit:
        said.append("leak check owed")
    return tuple(said)

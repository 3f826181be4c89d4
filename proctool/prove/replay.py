"""One run, step by step: checks a trace that the exploration found, and feeds what `show` prints.

It shares the meaning of acts with the exploration, not its search.
"""

from __future__ import annotations

from collections.abc import Sequence
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


class TraceError(ValueError):
    """A trace names a step that cannot come next: a fault of proctool, not of a procedure."""


def replay(plan: Plan, trace: Sequence[Move]) -> Replay:
    """Walk a trace. Where a failed check may both go back and go on to its `then`, the trace decides.

    Raises:
        TraceError: a step of the trace is not among those that may come next.
    """
    setup = Setup(plan)
    frames = Frames(plan.frame)
    state = settle(setup, begin(setup))
    first = _snapshot(setup, state, "", None)
    onward = frames.start()
    snapshots: list[Snapshot] = []
    reports: list[tuple[str | None, Report]] = []
    for move in trace:
        stack, place, step = _next(frames, onward, move)
        state, broken = do_step(setup, state, step, move.passed)
        reports += ((step.id, report) for report in broken)
        snapshots.append(_snapshot(setup, state, step.id, move.passed))
        onward = frames.after(stack, place, move.passed)
    complete = False
    for end in onward:
        match end:
            case Complete():
                complete = True
                reports += ((None, report) for report in at_end(setup, state))
            case Stopped(check):
                complete = True
                reports += ((check, report) for report in at_stop(setup, state))
    return Replay(first, tuple(snapshots), tuple(reports), complete)


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


def _next(frames: Frames, onward: Sequence[Run | Complete | Stopped], move: Move) -> tuple[Stack, int, Step]:
    for end in onward:
        if isinstance(end, Run):
            for place, step in frames.enabled(end.stack):
                if step.id == move.step and step.may_fail is (move.passed is not None):
                    return end.stack, place, step
    raise TraceError(f"`{move.step}` cannot come next")


def _snapshot(setup: Setup, state: State, step: str, passed: bool | None) -> Snapshot:
    net = setup.network
    charges: dict[tuple[str, str], Charge] = {}
    for carrier in setup.carriers:
        for place in bits(carrier.holders):
            charges[net.ids[place], carrier.id] = charge(setup, state, place, carrier)
    words = {part.id: _words(setup, state, i) for i, part in enumerate(net.parts)}
    return Snapshot(step, passed, charges, {name: said for name, said in words.items() if said})


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

"""One monitor over every order of a plan and both outcomes of every check, breadth first.

The walk is over (done steps, conditions the monitor reads, its memory). What is live or charged is left out,
since a monitor does not see it and every check may fail in any case: nothing that a run can do is lost.

Two shortcuts decide *whether* anything is wrong; both only put off choosing an order that cannot matter:

- a step that means nothing to the monitor, and whose failing leads to nothing that does, is idle: it is done
  as soon as it may be, and passes;
- so is a step that only asks, once no step that is free beside it can change memory or conditions.

Either way the step commutes with all that may come before it, so some run of the walk shows the monitor the
same as any run left out (single-step persistent sets: Godefroid 1996, *Partial-Order Methods for the
Verification of Concurrent Systems*). Checks that lead back count as changing, because they undo steps.
Where something is wrong a second walk, without shortcuts, finds a shortest trace of each lapse.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import NamedTuple

from proctool.model.finding import Move
from proctool.model.monitor import Caught, Deed, Lapse, Memory, Monitor, Touch, Watched
from proctool.model.plan import BackTo, Frame, Otherwise, Plan, Step
from proctool.model.verdict import DEFAULT_BUDGET
from proctool.network.reach import Mask, bits
from proctool.prove.frames import Complete, Frames, Level, Run, Stack, Stopped

Key = tuple[str | None, Lapse]
Moves = tuple[Move, ...]


def watch(plan: Plan, monitor: Monitor, *, budget: int = DEFAULT_BUDGET, shortcuts: bool = True) -> Watched:
    """Everything that a monitor finds wrong in some order, each with a shortest trace.

    `budget` bounds what each walk looks at. Where it ends before the shortest trace of a lapse is found, the
    trace is one that shows it.
    """
    return _watch(_Ground(plan), monitor, budget, shortcuts=shortcuts)


def watch_each(
    plan: Plan, monitors: Iterable[Monitor], *, budget: int = DEFAULT_BUDGET
) -> Iterator[tuple[Monitor, Watched]]:
    """What `watch` answers for each of several monitors, one after the other."""
    ground = _Ground(plan)
    for monitor in monitors:
        yield monitor, _watch(ground, monitor, budget, shortcuts=True)


def _watch(ground: _Ground, monitor: Monitor, budget: int, *, shortcuts: bool) -> Watched:
    walk = _Walk(ground, monitor, budget)
    if not shortcuts:
        return walk.run(short=False)
    found = walk.run(short=True)
    if not found.caught:
        return found
    wanted = {(c.step, c.lapse) for c in found.caught}
    shortest = {(c.step, c.lapse): c for c in walk.run(short=False, wanted=wanted).caught}
    told = {(c.step, c.lapse): c for c in found.caught} | shortest
    caught = sorted(told.values(), key=lambda c: len(c.trace))
    return Watched(tuple(caught), found.explored, found.states)


class _Ground:
    """What all walks over a plan share."""

    def __init__(self, plan: Plan) -> None:
        self.plan = plan
        self.frames = Frames(plan.frame)
        self.beside: dict[str, int] = {}
        """For each step the steps of its frame that may come before it or after it."""
        self.order: dict[int, list[int]] = {}
        """For each frame, by its identity, which the plan keeps alive, an order of its steps."""
        self.passes: dict[str, Move] = {}
        """Each step done without failing."""
        self._look(plan.frame)

    def _look(self, frame: Frame) -> None:
        later = [0] * len(frame.steps)
        for j, earlier in enumerate(frame.before):
            for i in bits(earlier):
                later[i] |= 1 << j
        everything = (1 << len(frame.steps)) - 1
        counts = [earlier.bit_count() for earlier in frame.before]
        self.order[id(frame)] = sorted(range(len(counts)), key=counts.__getitem__)
        for i, step in enumerate(frame.steps):
            self.passes[step.id] = Move(step.id, True if step.may_fail else None)
            self.beside[step.id] = everything & ~(later[i] | frame.before[i] | 1 << i)
            otherwise = step.otherwise
            while otherwise is not None:
                self._look(otherwise.frame)
                otherwise = otherwise.ending.then if isinstance(otherwise.ending, BackTo) else None


@dataclass(frozen=True, slots=True)
class _Node:
    stack: Stack
    values: tuple[str, ...]
    memory: Memory
    parent: _Node | None
    moves: tuple[Move, ...]
    """What was done since the parent, idle steps included."""


class _Idle(NamedTuple):
    """A step that means nothing to a monitor."""

    bit: Mask
    waits_for: Mask
    """What comes before it and is not idle itself."""
    move: Move


class _Walk:
    """What does not change from walk to walk of one monitor."""

    def __init__(self, ground: _Ground, monitor: Monitor, budget: int) -> None:
        plan = ground.plan
        self.ground, self.monitor, self.budget = ground, monitor, budget
        self.frames = ground.frames
        self.place = {name: i for i, name in enumerate(monitor.reads)}
        self.values = tuple(plan.conditions.get(name, ("",))[0] for name in monitor.reads)
        self.rivals: dict[str, int] = {}
        """For each step the steps of its frame that are free beside it and may change something."""
        self.eager: set[str] = set()
        """Steps that only ask: done early, once nothing free beside them can change anything."""
        self.idle: dict[int, tuple[_Idle, ...]] = {}
        """The idle steps of each frame, by its identity, in an order in which they can be done."""
        self._visit(plan.frame)

    def _visit(self, frame: Frame) -> Touch:
        """Look at a frame and all frames under it; the most that any of its steps means."""
        depths: list[Touch] = []
        idle = 0
        for i, step in enumerate(frame.steps):
            means = bool(step.acts or step.makes)  # all that a monitor sees of a step
            own = self.monitor.touches(step) if means else Touch.NOTHING
            under = self._under(step.otherwise)
            depths.append(max(own, under))
            if depths[-1] is Touch.NOTHING:
                idle |= 1 << i
            elif own is Touch.ASKS and under is Touch.NOTHING:
                self.eager.add(step.id)
        self.idle[id(frame)] = tuple(
            _Idle(1 << i, frame.before[i] & ~idle, self.ground.passes[frame.steps[i].id])
            for i in self.ground.order[id(frame)]
            if idle >> i & 1
        )
        changing = sum(1 << i for i, depth in enumerate(depths) if depth is Touch.CHANGES)
        for step in frame.steps:
            self.rivals[step.id] = changing & self.ground.beside[step.id]
        return max(depths, default=Touch.NOTHING)

    def _under(self, otherwise: Otherwise | None) -> Touch:
        most = Touch.NOTHING
        while otherwise is not None:
            most = max(most, self._visit(otherwise.frame))
            ending = otherwise.ending
            otherwise = None
            if isinstance(ending, BackTo):
                most, otherwise = Touch.CHANGES, ending.then
        return most

    def run(self, *, short: bool, wanted: AbstractSet[Key] | None = None) -> Watched:
        """One walk, with the shortcuts or without; with `wanted` it ends as soon as all of that is found."""
        caught: dict[Key, Caught] = {}
        seen: set[tuple[Stack, tuple[str, ...], Memory]] = set()
        queue: deque[_Node] = deque()

        def note(lapses: tuple[Lapse, ...], step: str | None, node: _Node | None, moves: Moves) -> None:
            for lapse in lapses:
                if (step, lapse) not in caught:
                    caught[step, lapse] = Caught(lapse, step, _trace(node, moves))

        def arrive(
            nexts: tuple[Run | Complete | Stopped, ...],
            values: tuple[str, ...],
            memory: Memory,
            node: _Node | None,
            moves: Moves,
        ) -> None:
            for onward in nexts:
                match onward:
                    case Complete():
                        note(self.monitor.at_end(memory), None, node, moves)
                    case Run(stack):
                        if (stack, values, memory) in seen:
                            continue
                        seen.add((stack, values, memory))
                        passed = self._past_idle(stack) if short else None
                        if passed is None:
                            queue.append(_Node(stack, values, memory, node, moves))
                        else:
                            arrive(passed[1], values, memory, node, (*moves, *passed[0]))

        arrive(self.frames.start(), self.values, self.monitor.start, None, ())
        while queue:
            if len(seen) > self.budget:
                return Watched(tuple(caught.values()), explored=False, states=len(seen))
            if wanted is not None and wanted <= caught.keys():
                break
            node = queue.popleft()
            for place, step, passed in self._next(node, short=short):
                after = self._made(node.values, step, passed)
                memory, lapses = self.monitor.follow(node.memory, Deed(step, passed, node.values, after))
                moves = (Move(step.id, passed),)
                note(lapses, step.id, node, moves)
                arrive(self.frames.after(node.stack, place, passed), after, memory, node, moves)
        return Watched(tuple(caught.values()), explored=True, states=len(seen))

    def _past_idle(self, stack: Stack) -> tuple[Moves, tuple[Run | Complete | Stopped, ...]] | None:
        """All idle steps that may be done one after the other, and what follows; None where there is none."""
        number, done = stack[-1]
        open_ = ~done
        now = [
            idle
            for idle in self.idle[id(self.frames.frame(number))]
            if idle.bit & open_ and not idle.waits_for & open_
        ]
        if not now:
            return None
        for idle in now[:-1]:
            done |= idle.bit
        place, moves = now[-1].bit.bit_length() - 1, tuple(idle.move for idle in now)
        return moves, self.frames.after((*stack[:-1], Level(number, done)), place, moves[-1].passed)

    def _next(self, node: _Node, *, short: bool) -> Iterator[tuple[int, Step, bool | None]]:
        """The steps that may come next with their outcomes; one alone where that is enough."""
        open_ = list(self.frames.enabled(node.stack))
        done = node.stack[-1].done
        if short:
            for place, step in open_:
                if step.id in self.eager and not self.rivals[step.id] & ~done:
                    yield place, step, True if step.may_fail else None
                    return
        for place, step in open_:
            for passed in (True, False) if step.may_fail else (None,):
                yield place, step, passed

    def _made(self, values: tuple[str, ...], step: Step, passed: bool | None) -> tuple[str, ...]:
        if passed is False or not step.makes:
            return values
        changed = list(values)
        for name, value in step.makes:
            if name in self.place:
                changed[self.place[name]] = value
        return tuple(changed)


def _trace(node: _Node | None, moves: Moves) -> tuple[Move, ...]:
    parts = [moves]
    while node is not None:
        parts.append(node.moves)
        node = node.parent
    return tuple(move for part in reversed(parts) for move in part)

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
from collections.abc import Iterable, Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from typing import NamedTuple

from proctool.model.finding import Move
from proctool.model.monitor import Caught, Deed, Lapse, Memory, Monitor, Touch, Watched
from proctool.model.plan import Plan, Step
from proctool.model.verdict import DEFAULT_BUDGET
from proctool.network.reach import Mask
from proctool.prove.frames import Complete, Level, Run, Stack, Stopped
from proctool.prove.ground import Ground, Loud, Under
from proctool.prove.together import Together

Key = tuple[str | None, Lapse]
Moves = tuple[Move, ...]

_WORTH = 4
"""A walk for one monitor looks at some quarter as many places as there are steps: most steps are idle."""


def watch(plan: Plan, monitor: Monitor, *, budget: int = DEFAULT_BUDGET, shortcuts: bool = True) -> Watched:
    """Everything that a monitor finds wrong in some order, each with a shortest trace.

    `budget` bounds what each walk looks at. Where it ends before the shortest trace of a lapse is found, the
    trace is one that shows it.
    """
    return _watch(Ground(plan), monitor, budget, shortcuts=shortcuts)


def watch_each(
    plan: Plan, monitors: Iterable[Monitor], *, budget: int = DEFAULT_BUDGET
) -> Iterator[tuple[Monitor, Watched]]:
    """What `watch` answers for each of several monitors, one after the other.

    All are walked together first, as long as that looks at fewer places than walks apart are likely to. Of
    those that find nothing then, `Watched.states` is the number of places of that walk.
    """
    ground, monitors = Ground(plan), tuple(monitors)
    most = min(budget, len(monitors) * len(ground.beside) // _WORTH)
    found, states = _lapsing(ground, monitors, most)
    for place, monitor in enumerate(monitors):
        if place in found:
            yield monitor, _watch(ground, monitor, budget, shortcuts=True)
        else:
            yield monitor, Watched((), explored=True, states=states)


def lapsing(plan: Plan, monitors: Sequence[Monitor], *, budget: int) -> AbstractSet[int]:
    """The places of the monitors that find something, in one walk; of all, where the budget ends it."""
    return _lapsing(Ground(plan), monitors, budget)[0]


def _lapsing(ground: Ground, monitors: Sequence[Monitor], budget: int) -> tuple[AbstractSet[int], int]:
    together = Together(ground, monitors)
    walked = _Walk(ground, together.monitor(), budget).run(short=True)
    return together.lapsed if walked.explored else set(range(len(monitors))), walked.states


def _watch(ground: Ground, monitor: Monitor, budget: int, *, shortcuts: bool) -> Watched:
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


@dataclass(frozen=True, slots=True)
class _Node:
    stack: Stack
    values: tuple[str, ...]
    memory: Memory
    parent: _Node | None
    moves: tuple[Move, ...]
    """What was done since the parent, idle steps included."""


class _Meaning(NamedTuple):
    """What the steps of a frame mean to a monitor, those of all frames under it included."""

    most: Touch
    counting: Mask
    """Steps that mean something."""
    changing: Mask
    """Those of them that may change memory or conditions."""
    eager: Mask
    """Steps that only ask: done early, once nothing free beside them can change anything."""


class _Walk:
    """What does not change from walk to walk of one monitor."""

    def __init__(self, ground: Ground, monitor: Monitor, budget: int) -> None:
        plan = ground.plan
        self.ground, self.monitor, self.budget = ground, monitor, budget
        self.frames = ground.frames
        self.place = {name: i for i, name in enumerate(monitor.reads)}
        self.values = tuple(plan.conditions.get(name, ("",))[0] for name in monitor.reads)
        self._touches: dict[int, Touch] = {}
        """What each sort of step means."""
        self.means: dict[int, _Meaning] = {}
        """What the steps of each shape of frame mean."""
        self._visit(ground.shape[id(plan.frame)])

    def _visit(self, shape: int) -> _Meaning:
        """Look at a shape of frame and all under it."""
        known = self.means.get(shape)
        if known is not None:
            return known
        most, counting, changing, eager = Touch.NOTHING, 0, 0, 0
        for one in self.ground.loud[shape]:
            own, under = self._own(one), self._under(one.under)
            touch = max(own, under)
            if touch is Touch.NOTHING:
                continue
            counting |= 1 << one.place
            if touch is Touch.CHANGES:
                changing |= 1 << one.place
            if own is Touch.ASKS and under is Touch.NOTHING:
                eager |= 1 << one.place
            most = max(most, touch)
        self.means[shape] = found = _Meaning(most, counting, changing, eager)
        return found

    def _own(self, one: Loud) -> Touch:
        if one.sort is None:
            return Touch.NOTHING
        known = self._touches.get(one.sort)
        if known is None:
            known = self._touches[one.sort] = self.monitor.touches(one.step)
        return known

    def _under(self, under: Under) -> Touch:
        most = Touch.CHANGES if under.leads_back else Touch.NOTHING
        for shape in under.shapes:
            most = max(most, self._visit(shape).most)
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
        frame = self.frames.frame(number)
        counting = self.means[self.ground.shape[id(frame)]].counting
        open_ = ~done
        now = [
            idle
            for idle in self.ground.idle(frame, counting)
            if idle.all & open_ and not idle.waits_for & open_
        ]
        if not now:
            return None
        steps = [one for idle in now for one in idle.steps if one[0] & ~done]
        for bit, _ in steps[:-1]:
            done |= bit
        place, moves = steps[-1][0].bit_length() - 1, tuple([move for _, move in steps])
        return moves, self.frames.after((*stack[:-1], Level(number, done)), place, moves[-1].passed)

    def _next(self, node: _Node, *, short: bool) -> Iterator[tuple[int, Step, bool | None]]:
        """The steps that may come next with their outcomes; one alone where that is enough."""
        open_ = list(self.frames.enabled(node.stack))
        if short:
            number, done = node.stack[-1]
            means = self.means[self.ground.shape[id(self.frames.frame(number))]]
            for place, step in open_:
                rivals = means.changing & self.ground.beside[step.id]
                if means.eager >> place & 1 and not rivals & ~done:
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

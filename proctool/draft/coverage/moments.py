"""Every moment of every order of a plan, each with who may have set what until then.

All orders are walked, pair by pair as in the plain proof. Over the pairs runs the analysis that compilers
know as *reaching definitions* (Kildall 1973, A unified approach to global program optimization): ledgers are
joined where runs meet, until nothing changes. Since a step acts on each bit of a ledger by itself, the sets
are exact: a step is in one if and only if on some run it was the last to set the thing.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass

from proctool.draft.coverage.ledger import Change, Ledgers
from proctool.model.finding import Move
from proctool.model.plan import Act, Plan, Step, every_step
from proctool.prove import Effects
from proctool.prove.charge import settle
from proctool.prove.effects import Number
from proctool.prove.frames import Complete, Frames, Run, Stack, Stopped
from proctool.prove.state import State
from proctool.prove.step import acted
from proctool.prove.words import begin


@dataclass(slots=True)
class _Pair:
    """A pair of (done steps, state), and how it was first reached."""

    stack: Stack
    number: Number
    parent: _Pair | None
    move: Move | None
    ledger: int = 0


@dataclass(frozen=True, slots=True)
class Moment:
    """The unit right before and right after an act, and the ledger before it; or the unit in the end."""

    act: Act | None
    """None for the unit as found, and in the end."""
    before: State
    after: State
    ledger: int
    pair: _Pair | None = None
    move: Move | None = None

    @property
    def run(self) -> tuple[Move, ...]:
        """A shortest run to it, the step itself included."""
        moves = [] if self.move is None else [self.move]
        pair = self.pair
        while pair is not None:
            if pair.move is not None:
                moves.append(pair.move)
            pair = pair.parent
        return tuple(reversed(moves))


@dataclass(frozen=True, slots=True)
class _Passage:
    """What a step does to a state: its acts, each with what the step did to the ledger before it, and all."""

    number: Number
    acts: tuple[tuple[Act, State, State, Change], ...]
    change: Change


@dataclass(frozen=True, slots=True)
class _Edge:
    """A move from one pair to those that may follow."""

    pair: _Pair
    move: Move
    passage: _Passage
    onward: tuple[_Pair, ...]
    complete: bool
    """Whether the procedure may be over after it."""
    stopped: bool
    """Whether the job may stop in the middle after it."""

    @property
    def brought(self) -> int:
        """The ledger after it."""
        return self.passage.change.on(self.pair.ledger)


class Moments:
    """All moments of a plan; none but the first where more than `budget` pairs are met."""

    def __init__(self, plan: Plan, *, budget: int) -> None:
        self._effects = Effects(plan)
        self.setup = self._effects.setup
        self.steps = every_step(plan.frame)
        self.ledgers = Ledgers(self.setup, self.steps)
        self._frames = Frames(plan.frame)
        self._passages: dict[tuple[str, bool | None, Number], _Passage] = {}
        self._edges: list[_Edge] = []
        self._start = settle(self.setup, begin(self.setup))
        self.walked = self._walk(budget)
        if self.walked:
            self._join()

    def each(self) -> Iterator[Moment]:
        """Every moment, those on shorter runs first; the unit as found comes before all."""
        yield Moment(None, self._start, self._start, self.ledgers.found)
        for edge in self._edges:
            for act, before, after, change in edge.passage.acts:
                yield Moment(act, before, after, change.on(edge.pair.ledger), edge.pair, edge.move)

    def ends(self) -> Iterator[Moment]:
        """Every way in which the whole procedure ends."""
        return (self._after(edge) for edge in self._edges if edge.complete)

    def stops(self) -> Iterator[Moment]:
        """Every way in which the job stops in the middle."""
        return (self._after(edge) for edge in self._edges if edge.stopped)

    def _after(self, edge: _Edge) -> Moment:
        state = self._effects.state(edge.passage.number)
        return Moment(None, state, state, edge.brought, edge.pair, edge.move)

    def _walk(self, budget: int) -> bool:
        """Breadth first over all pairs; False where the budget ended first."""
        pairs: dict[tuple[Stack, Number], _Pair] = {}
        queue: deque[_Pair] = deque()

        def arrive(stack: Stack, number: Number, parent: _Pair | None, move: Move | None) -> _Pair:
            key = stack, number
            if key not in pairs:
                pairs[key] = _Pair(stack, number, parent, move)
                queue.append(pairs[key])
            return pairs[key]

        for on in self._frames.start():
            if isinstance(on, Run):
                first = arrive(on.stack, self._effects.number(self._start), None, None)
                first.ledger = self.ledgers.found
        while queue:
            if len(pairs) > budget:
                return False
            pair = queue.popleft()
            for place, step in self._frames.enabled(pair.stack):
                for passed in (True, False) if step.may_fail else (None,):
                    passage = self._passage(step, passed, pair.number)
                    nexts = self._frames.after(pair.stack, place, passed)
                    move = Move(step.id, passed)
                    runs = (on.stack for on in nexts if isinstance(on, Run))
                    there = tuple(arrive(stack, passage.number, pair, move) for stack in runs)
                    complete = any(isinstance(on, Complete) for on in nexts)
                    stopped = any(isinstance(on, Stopped) for on in nexts)
                    self._edges.append(_Edge(pair, move, passage, there, complete, stopped))
        return True

    def _passage(self, step: Step, passed: bool | None, number: Number) -> _Passage:
        key = step.id, passed, number
        if key not in self._passages:
            acts, whole = [], Change()
            for act, before, after, _ in acted(self.setup, self._effects.state(number), step, passed):
                acts.append((act, before, after, whole))
                change = self.ledgers.change(step.id, act, before, after, passed=passed is not False)
                whole = whole.then(change)
            after_all = self._effects.of(step, passed, number).state
            self._passages[key] = _Passage(after_all, tuple(acts), whole)
        return self._passages[key]

    def _join(self) -> None:
        """Join what runs bring, in the order in which the pairs were found, until nothing changes."""
        leaving: dict[int, list[_Edge]] = {}
        for edge in self._edges:
            leaving.setdefault(id(edge.pair), []).append(edge)
        waiting = dict.fromkeys(leaving)
        while waiting:
            pair = next(iter(waiting))
            del waiting[pair]
            for edge in leaving[pair]:
                for there in edge.onward:
                    if edge.brought & ~there.ledger:
                        there.ledger |= edge.brought
                        waiting[id(there)] = None

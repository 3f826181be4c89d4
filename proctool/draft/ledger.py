"""Who did it last: for every device of a unit, at every moment of every order, which steps may have set it.

All orders are walked, pair by pair as in the plain proof. Over the pairs runs the analysis that compilers
know as *reaching definitions* (Kildall 1973, A unified approach to global program optimization): a set of
steps for each thing that can be set, joined where runs meet, until nothing changes. Each step acts on each set
by itself and joins keep all that they join, so the sets are exact: a step is in one if and only if there is a
run on which it was the last to set the thing.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass

from proctool.model.finding import Move
from proctool.model.plan import Act, Plan, Step, every_step
from proctool.network.reach import bits
from proctool.prove import Effects
from proctool.prove.charge import settle
from proctool.prove.effects import Number
from proctool.prove.frames import Complete, Frames, Run, Stack
from proctool.prove.state import State
from proctool.prove.step import acted
from proctool.prove.words import begin

Thing = tuple[str, int, int]
"""What can be set: a field of the state, the energy's place (0 where it is of none), the part's place."""

_CONFIRMS = {"isolate": "position", "lock": "locked", "vent": "vented", "verify_zero": "proven"}
"""Acts that somebody does to what is so already; where it is so as found, they count as done by that step."""


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
    """What a step does to a state: its acts, and what it does to the ledger up to each and in the end."""

    number: Number
    acts: tuple[tuple[Act, State, State, int, int], ...]
    """Act, state before and after, and what was taken out of the ledger and put into it before the act."""
    kill: int
    gen: int


@dataclass(frozen=True, slots=True)
class _Edge:
    """A move from one pair to those that may follow."""

    pair: _Pair
    move: Move
    passage: _Passage
    onward: tuple[_Pair, ...]
    complete: bool
    """Whether the procedure may be over after it."""

    @property
    def brought(self) -> int:
        """The ledger after it."""
        return self.pair.ledger & ~self.passage.kill | self.passage.gen


class Ledger:
    """Every moment of every order of a plan, each with the steps that may have set what."""

    def __init__(self, plan: Plan, *, budget: int) -> None:
        self.plan = plan
        self.effects = Effects(plan)
        self.setup = self.effects.setup
        self._frames = Frames(plan.frame)
        self.steps = every_step(plan.frame)
        self._width = len(self.steps) + 1
        self._bit = {step.id: 1 << i for i, step in enumerate(self.steps, start=1)}
        self._lane = {thing: i * self._width for i, thing in enumerate(self._things())}
        self._found = sum(1 << lane for lane in self._lane.values())
        self._passages: dict[tuple[str, bool | None, Number], _Passage] = {}
        self._edges: list[_Edge] = []
        self._start = settle(self.setup, begin(self.setup))
        self.walked = self._walk(budget)
        self._settle()

    def _things(self) -> Iterator[Thing]:
        net = self.setup.network
        devices = net.isolators
        for field, mask in (("position", devices), ("locked", devices), ("vented", net.vents)):
            yield from ((field, 0, place) for place in bits(mask))
        yield from (("opened", 0, place) for place in range(len(net.ids)))
        yield from (("owed", 0, place) for place in bits(net.holders))
        for carrier in self.setup.carriers:
            for field in ("discharged", "proven"):
                yield from ((field, carrier.index, place) for place in bits(carrier.holders))

    # ------------------------------------------------------------------------ what may have set what

    def setters(self, ledger: int, thing: Thing) -> tuple[str | None, ...]:
        """The steps that may have set a thing last, in file order; None for: so as found."""
        found = ledger >> self._lane[thing] & (1 << self._width) - 1
        return tuple(None if i == 0 else self.steps[i - 1].id for i in bits(found))

    # ------------------------------------------------------------------------ walking

    def moments(self) -> Iterator[Moment]:
        """Every moment, in the order in which the walk comes by; the unit as found comes first."""
        yield Moment(None, self._start, self._start, self._found)
        for edge in self._edges:
            for act, before, after, kill, gen in edge.passage.acts:
                yield Moment(act, before, after, edge.pair.ledger & ~kill | gen, edge.pair, edge.move)

    def ends(self) -> Iterator[Moment]:
        """Every way in which the whole procedure ends."""
        for edge in self._edges:
            if edge.complete:
                state = self.effects.state(edge.passage.number)
                yield Moment(None, state, state, edge.brought, edge.pair, edge.move)

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

        for onward in self._frames.start():
            if isinstance(onward, Run):
                arrive(onward.stack, self.effects.number(self._start), None, None).ledger = self._found
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
                    self._edges.append(_Edge(pair, move, passage, there, complete))
        return True

    def _passage(self, step: Step, passed: bool | None, number: Number) -> _Passage:
        key = step.id, passed, number
        if key not in self._passages:
            acts = []
            kill = gen = 0
            for done in acted(self.setup, self.effects.state(number), step, passed):
                acts.append((done.act, done.before, done.after, kill, gen))
                own_kill, own_gen = self._change(step, done.act, done.before, done.after, passed)
                kill, gen = kill | own_kill, gen & ~own_kill | own_gen
            after = self.effects.of(step, passed, number).state
            self._passages[key] = _Passage(after, tuple(acts), kill, gen)
        return self._passages[key]

    def _change(
        self, step: Step, act: Act, before: State, after: State, passed: bool | None
    ) -> tuple[int, int]:
        """What an act takes out of the ledger, and what it puts in."""
        bit, lanes = self._bit[step.id], (1 << self._width) - 1
        kill = gen = 0
        for thing in self._changed(before, after):
            lane = self._lane[thing]
            kill |= lanes << lane
            gen |= bit << lane
        for thing in self._confirmed(act, after) if passed is not False else ():
            lane = self._lane[thing]
            kill |= 1 << lane
            gen |= bit << lane
        return kill, gen

    def _changed(self, before: State, after: State) -> Iterator[Thing]:
        if before == after:
            return
        moved = (before.off ^ after.off) | (before.throttled ^ after.throttled)
        fields = [("position", 0, moved)]
        for field in ("locked", "vented", "opened", "owed"):
            fields.append((field, 0, getattr(before, field) ^ getattr(after, field)))
        for field in ("discharged", "proven"):
            both = zip(getattr(before, field), getattr(after, field), strict=True)
            fields += ((field, i, one ^ other) for i, (one, other) in enumerate(both))
        for field, index, mask in fields:
            for place in bits(mask):
                if (field, index, place) in self._lane:
                    yield field, index, place

    def _confirmed(self, act: Act, after: State) -> Iterator[Thing]:
        """What an act sets whether or not it was so before."""
        field, net = _CONFIRMS.get(act.verb), self.setup.network
        if field is None:
            return
        place = net.place[act.part]
        if field == "proven":
            shown = (c for c in self.setup.carriers if c.on_line >> net.place[act.by or ""] & 1)
            yield from ((field, c.index, place) for c in shown if after.proven[c.index] >> place & 1)
        elif (field, 0, place) in self._lane:
            yield field, 0, place

    def _settle(self) -> None:
        """Join what runs bring, in the order in which the pairs were found, until nothing changes."""
        leaving: dict[int, list[_Edge]] = {}
        for edge in self._edges:
            leaving.setdefault(id(edge.pair), []).append(edge)
        queue = dict.fromkeys(leaving)  # the pairs to look at, each once
        while queue:
            pair = next(iter(queue))
            del queue[pair]
            for edge in leaving[pair]:
                for there in edge.onward:
                    if edge.brought & ~there.ledger:
                        there.ledger |= edge.brought
                        queue |= {id(there): None} if id(there) in leaving else {}

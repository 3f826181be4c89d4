"""What each part may hold right before and right after a step, for the diagram that follows the work.

After a step: the worst over all orders, as the proof found it. It is *live* where the plain run of the page
has it live too, else *may be live*: some orders make it so. Before a step: the worst of all steps that can be
the last one done then, in any order, and after going back. What the proof did not reach is *may be live*.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from proctool.model.plan import BackTo, Continue, Frame, Plan
from proctool.model.unit import Unit
from proctool.model.verdict import Charge, Snapshot
from proctool.render.item import Moment
from proctool.render.pictures.overlay import State

Pair = tuple[str, str]
_LETTERS = {State.LIVE: "l", State.MAYBE: "m", State.TRAPPED: "t", State.ZERO: "z"}


def pairs(unit: Unit) -> tuple[Pair, ...]:
    """(part, energy) for each energy that a part can hold, in file order."""
    return tuple(
        (part.id, energy)
        for part in unit.parts.values()
        if part.holder
        for energy in unit.energies
        if any(part.id in line.path and energy in line.energies for line in unit.lines.values())
    )


@dataclass(frozen=True, slots=True)
class _Back:
    """A way back into a frame: which of its steps are done again, and the steps that end before it."""

    undone: int
    last: tuple[str, ...]


class Moments:
    """The moments of one plan."""

    def __init__(
        self,
        plan: Plan,
        worst: Callable[[str], Mapping[Pair, Charge] | None],
        run: Iterable[Snapshot] = (),
    ) -> None:
        """`worst` tells the worst charges after a step; `run` is a run of the main steps and its start.

        The start has an empty step. Without it, all may be live there.
        """
        self.pairs = pairs(plan.unit)
        self._worst = worst
        self._run = {snapshot.step: snapshot.charges for snapshot in run}
        self._ends: dict[tuple[int, int], tuple[str, ...]] = {}
        """For a step, by frame and place, the steps that may be the last when work goes on after it."""
        self._back: dict[int, list[_Back]] = {}
        self._entry: dict[int, tuple[str, ...]] = {id(plan.frame): ("",)}
        """For each frame the steps that may be the last before it; an empty one is the start."""
        self._frame(plan.frame, ())

    def moment(self, frame: Frame, place: int) -> Moment:
        """What is told at a step."""
        step = frame.steps[place]
        parts = tuple(dict.fromkeys(act.part for act in step.acts if act.part))
        before = _join([self._after(name) for name in self._last(frame, place)])
        return Moment(_letters(before), _letters(self._after(step.id)), parts, once=step.once)

    def _after(self, step: str) -> tuple[State, ...]:
        """The states after a step, pair by pair; at the start for an empty name."""
        run = self._run.get(step)
        worst = self._worst(step) if step else run
        return tuple(_state(worst, run, pair) for pair in self.pairs)

    def _last(self, frame: Frame, place: int) -> Iterator[str]:
        """The steps that may be the last ones done when a step is to be done."""
        earlier = frame.before[place]
        inner = 0
        for i, before in enumerate(frame.before):
            inner |= before if earlier >> i & 1 else 0
        if not earlier:
            yield from self._entry[id(frame)]
        for i, before in enumerate(frame.before):
            follows = i == place or before >> place & 1
            if not follows and not inner >> i & 1:
                yield from self._ends[id(frame), i]
        for back in self._back.get(id(frame), ()):
            if back.undone >> place & 1:
                yield from back.last

    def _frame(self, frame: Frame, around: tuple[Frame, ...]) -> None:
        """Note what may come last before each place of a frame, and of those inside it."""
        for place, step in enumerate(frame.steps):
            ends = [step.id]
            last: tuple[str, ...] = (step.id,)
            otherwise = step.otherwise
            while otherwise is not None:
                inner = otherwise.frame
                self._entry[id(inner)] = last
                self._frame(inner, (*around, frame))
                last = self._ends_of(inner) or last
                ending = otherwise.ending
                if isinstance(ending, Continue):
                    ends += last
                if isinstance(ending, BackTo):
                    target = (*around, frame)[-1 - ending.levels]
                    self._back.setdefault(id(target), []).append(_Back(ending.undone, last))
                otherwise = ending.then if isinstance(ending, BackTo) else None
            self._ends[id(frame), place] = tuple(ends)

    def _ends_of(self, frame: Frame) -> tuple[str, ...]:
        followed = 0
        for before in frame.before:
            followed |= before
        return tuple(
            name
            for i in range(len(frame.steps))
            if not followed >> i & 1
            for name in self._ends[id(frame), i]
        )


def _state(worst: Mapping[Pair, Charge] | None, run: Mapping[Pair, Charge] | None, pair: Pair) -> State:
    charge = worst.get(pair) if worst is not None else None
    if charge is None:
        return State.MAYBE
    if charge is Charge.LIVE:
        return State.LIVE if run is None or run.get(pair) is Charge.LIVE else State.MAYBE
    return State(charge.value)


def _join(every: list[tuple[State, ...]]) -> tuple[State, ...]:
    """The worst of several moments; what is live in some of them only may be live."""
    return tuple(_worse(set(states)) for states in zip(*every, strict=True))


def _worse(states: set[State]) -> State:
    if states & {State.LIVE, State.MAYBE}:
        return State.LIVE if states == {State.LIVE} else State.MAYBE
    return State.TRAPPED if State.TRAPPED in states else State.ZERO


def _letters(states: Iterable[State]) -> str:
    return "".join(_LETTERS[state] for state in states)

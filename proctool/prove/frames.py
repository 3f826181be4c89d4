"""Which steps may come next: a stack of frames, each with the steps that are done.

The lowest frame is the procedure's main list. A failing check puts the frame of its `otherwise` on top; while
it runs, nothing below it does. When it is complete its ending goes on, goes back, or stops the job.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from proctool.model.plan import BackTo, Continue, EndHere, Frame, Otherwise, Step
from proctool.network.reach import bits
from proctool.prove.orders import Groups


class Level(NamedTuple):
    """One frame of a stack, by its number, and the mask of its steps that are done."""

    frame: int
    done: int


Stack = tuple[Level, ...]


@dataclass(frozen=True, slots=True)
class Run:
    """The job goes on: some step of the top frame is next."""

    stack: Stack


@dataclass(frozen=True, slots=True)
class Complete:
    """The main list is complete."""


@dataclass(frozen=True, slots=True)
class Stopped:
    """The job stops at the `end_here` of a check."""

    check: str


@dataclass(frozen=True, slots=True)
class _Home:
    """Where a frame belongs: the `otherwise` it carries out and the check that failed."""

    frame: Frame
    otherwise: Otherwise | None = None
    check: Step | None = None
    check_bit: int = 0


class Frames:
    """All frames of a plan by number; number 0 is the main list."""

    def __init__(self, main: Frame) -> None:
        self._homes: list[_Home] = [_Home(main)]
        self._of_otherwise: dict[int, int] = {}
        self._once: list[int] = []
        self._groups: list[Groups] = []
        for home in self._homes:  # grows while it is walked
            for i, step in enumerate(home.frame.steps):
                self._number(step.otherwise, step, 1 << i)
            self._groups.append(Groups(home.frame))
            self._once.append(sum(1 << i for i, step in enumerate(home.frame.steps) if step.once))

    def _number(self, otherwise: Otherwise | None, check: Step, bit: int) -> None:
        while otherwise is not None:
            self._of_otherwise[id(otherwise)] = len(self._homes)
            self._homes.append(_Home(otherwise.frame, otherwise, check, bit))
            otherwise = otherwise.ending.then if isinstance(otherwise.ending, BackTo) else None

    def frame(self, number: int) -> Frame:
        """A frame by its number."""
        return self._homes[number].frame

    def start(self) -> tuple[Run | Complete | Stopped, ...]:
        """What may come first."""
        return tuple(self._onward((Level(0, 0),)))

    def enabled(self, stack: Stack) -> Iterator[tuple[int, Step]]:
        """The steps that may come next, in file order, each with its place in the top frame."""
        number, done = stack[-1]
        frame = self._homes[number].frame
        for i in bits(self._groups[number].open_to(done)):
            if not frame.before[i] & ~done:
                yield i, frame.steps[i]

    def after(self, stack: Stack, place: int, passed: bool | None) -> tuple[Run | Complete | Stopped, ...]:
        """What may follow when the step at `place` of the top frame is done."""
        number, done = stack[-1]
        steps = self._homes[number].frame.steps
        if passed is False and (otherwise := steps[place].otherwise) is not None:
            return tuple(self._onward((*stack, Level(self._of_otherwise[id(otherwise)], 0))))
        now = (*stack[:-1], Level(number, done | 1 << place))
        if now[-1].done != (1 << len(steps)) - 1:
            return (Run(now),)
        return tuple(self._onward(now))

    def _onward(self, stack: Stack) -> Iterator[Run | Complete | Stopped]:
        """From a stack whose top may be complete to all that can really come next."""
        number, done = stack[-1]
        home = self._homes[number]
        if done != (1 << len(home.frame.steps)) - 1:
            yield Run(stack)
            return
        if home.otherwise is None or home.check is None:
            yield Complete()
            return
        below = stack[:-1]
        match home.otherwise.ending:
            case EndHere():
                yield Stopped(home.check.id)
            case Continue():
                owner = below[-1]
                yield from self._onward((*below[:-1], Level(owner.frame, owner.done | home.check_bit)))
            case BackTo(levels=levels, undone=undone, then=then):
                kept = below[: len(below) - levels]
                target = kept[-1]
                undo = undone & ~self._once[target.frame]
                yield from self._onward((*kept[:-1], Level(target.frame, target.done & ~undo)))
                if then is not None:
                    yield from self._onward((*below, Level(self._of_otherwise[id(then)], 0)))

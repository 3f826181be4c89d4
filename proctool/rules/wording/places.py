"""Every step of a plan, with what was surely done before it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from proctool.model.plan import BackTo, Frame, Step


class Place(NamedTuple):
    """A step in its frame."""

    step: Step
    number: int
    frame: Frame
    outer: tuple[Step, ...]
    """What comes before its whole frame: steps of the frames around it."""

    @property
    def earlier(self) -> tuple[Step, ...]:
        """The steps that come before it in every order."""
        return (*self.outer, *_before(self.frame, self.number))


def places(frame: Frame, outer: tuple[Step, ...] = ()) -> Iterator[Place]:
    """Every step, each followed by those of its `otherwise` and `then`, in file order."""
    for number, step in enumerate(frame.steps):
        place = Place(step, number, frame, outer)
        yield place
        otherwise = step.otherwise
        done = (*place.earlier, step) if otherwise is not None else ()
        while otherwise is not None:
            yield from places(otherwise.frame, done)
            done += otherwise.frame.steps
            otherwise = otherwise.ending.then if isinstance(otherwise.ending, BackTo) else None


def _before(frame: Frame, number: int) -> Iterator[Step]:
    return (step for i, step in enumerate(frame.steps) if frame.before[number] >> i & 1)

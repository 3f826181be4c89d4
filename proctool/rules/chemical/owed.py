"""What a step leaves to be done by some later step, in every order and by every way out of a check."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from proctool.model.plan import BackTo, Continue, Frame, Otherwise, Step
from proctool.model.unit import Unit
from proctool.model.words import Form
from proctool.network.reach import Network, bits

Later = Callable[[str], bool]


def _never(debt: str) -> bool:
    return False


@dataclass(frozen=True, slots=True)
class Debts:
    """What steps owe, and which steps pay it."""

    owes: Callable[[Step], tuple[str, ...]]
    pays: Callable[[Step, str], bool]

    def unpaid(
        self, frame: Frame, around: tuple[tuple[Frame, Later], ...] = (), later: Later = _never
    ) -> Iterator[tuple[Step, str]]:
        """Each step with what it owes and no step pays that follows in every order.

        `around` are the frames around, each with whether what runs after it pays; `later` says so of this
        one. Where the job ends in the middle nothing is owed: the unit is then out of use.
        """
        here = (*around, (frame, later))
        for place, step in enumerate(frame.steps):

            def goes_on(debt: str, place: int = place) -> bool:
                after = zip(frame.steps, frame.before, strict=True)
                following = tuple(s for s, before in after if before >> place & 1)
                return self._paid(following, debt) or later(debt)

            yield from ((step, debt) for debt in self.owes(step) if not goes_on(debt))
            yield from self._failing(step.otherwise, here, goes_on)

    def _failing(
        self, otherwise: Otherwise | None, around: tuple[tuple[Frame, Later], ...], goes_on: Later
    ) -> Iterator[tuple[Step, str]]:
        """The same for the steps of an `otherwise` and of each `then`."""
        while otherwise is not None:
            ending = otherwise.ending
            yield from self.unpaid(otherwise.frame, around, partial(self._ends_paid, ending, around, goes_on))
            otherwise = ending.then if isinstance(ending, BackTo) else None

    def _ends_paid(
        self, ending: object, around: tuple[tuple[Frame, Later], ...], goes_on: Later, debt: str
    ) -> bool:
        """Whether a debt is paid whichever way an `otherwise` ends."""
        if isinstance(ending, Continue):
            return goes_on(debt)
        if not isinstance(ending, BackTo):
            return True
        frame, later = around[len(around) - 1 - ending.levels]
        again = (frame.steps[i] for i in bits(ending.undone))
        back = self._paid(tuple(again), debt) or later(debt)
        then = ending.then
        return back and (
            then is None
            or self._paid(then.frame.steps, debt)
            or self._ends_paid(then.ending, around, goes_on, debt)
        )

    def _paid(self, steps: tuple[Step, ...], debt: str) -> bool:
        return any(self.pays(step, debt) for step in steps)


def frames(frame: Frame) -> Iterator[Frame]:
    """A frame and those of every `otherwise` and `then` in it."""
    yield frame
    for step in frame.steps:
        otherwise = step.otherwise
        while otherwise is not None:
            yield from frames(otherwise.frame)
            otherwise = otherwise.ending.then if isinstance(otherwise.ending, BackTo) else None


def brought_in(unit: Unit) -> frozenset[str]:
    """The chemicals that the technician brings in."""
    return frozenset(e.id for e in unit.energies.values() if e.brought and e.form is Form.CHEMICAL)


def flushed(step: Step, network: Network) -> tuple[str, ...]:
    """The chemicals brought in that a step flushes out."""
    rinsed = {energy for act in step.acts if act.verb == "flush" for energy in network.energies_of(act.part)}
    return tuple(sorted(rinsed & brought_in(network.unit))) if rinsed else ()

"""What a step does to a state: worked out once, and kept for all plans that have the step."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from proctool.model.plan import Plan, Step
from proctool.model.span import Span
from proctool.prove.report import Report
from proctool.prove.setup import Setup
from proctool.prove.state import State
from proctool.prove.step import do_step

_REMEMBERED = 1 << 15
"""Effects of steps on states that are kept: the same state comes up again soon or not at all."""

Number = int | State
"""A state: by number where states are numbered, else itself."""

Told = tuple[tuple[str | None, Report], ...]
"""Reports, each with the step it belongs to; None at the end of the procedure."""


class Effect(NamedTuple):
    """What doing a step in some state leads to."""

    state: Number
    reports: Told
    moved: frozenset[Span]
    """Where the acts are written that changed the state."""


class Effects:
    """The states met in the proof of a plan, numbered, and what each step does to them.

    They may be shared by proofs of several plans that differ in their lists of steps alone: a step's id must
    stand for the same acts, needs and `makes` in all of them.
    """

    def __init__(self, plan: Plan, *, numbered: bool = True) -> None:
        self.setup = Setup(plan)
        self._numbers: dict[State, int] | None = {} if numbered else None
        self._states: list[State] = []
        self._steps: dict[str, Step] = {}
        self._effect = lru_cache(_REMEMBERED)(self._do)

    def state(self, number: Number) -> State:
        """The state that a number stands for."""
        return self._states[number] if isinstance(number, int) else number

    def number(self, state: State) -> Number:
        """The number of a state; the state itself where they are not numbered."""
        if self._numbers is None:
            return state
        number = self._numbers.setdefault(state, len(self._states))
        if number == len(self._states):
            self._states.append(state)
        return number

    def of(self, step: Step, passed: bool | None, number: Number) -> Effect:
        """What a step does; `passed` is None for one that cannot fail."""
        self._steps[step.id] = step
        return self._effect(step.id, passed, number)

    def _do(self, step: str, passed: bool | None, number: Number) -> Effect:
        moved: set[Span] = set()
        state, reports = do_step(self.setup, self.state(number), self._steps[step], passed, moved)
        return Effect(self.number(state), tuple((step, report) for report in reports), frozenset(moved))

"""Monitors: small automata over runs of a procedure, compiled by the rules and run by the proof.

A monitor sees steps as they are done, in whatever order, and keeps a few integers. It never sees what is live
or charged: that is the proof's own business. So what a run looks like to it depends on its steps, the outcome
of each check and the conditions alone.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import IntEnum

from proctool.model.finding import Move, Related
from proctool.model.plan import Step
from proctool.model.span import Span

Memory = tuple[int, ...]
"""What a monitor keeps of a run."""


@dataclass(frozen=True, slots=True)
class Deed:
    """A step that was done. `passed` is None for a step that cannot fail."""

    step: Step
    passed: bool | None
    before: tuple[str, ...]
    """Values before the step of the conditions that the monitor reads; its acts are done under them."""
    after: tuple[str, ...]
    """Values after what the step makes so."""


class Touch(IntEnum):
    """What a step can mean to a monitor, whatever was done before it and however it ends."""

    NOTHING = 0
    ASKS = 1
    """It may be a lapse, and changes neither memory nor condition."""
    CHANGES = 2


@dataclass(frozen=True, slots=True)
class Lapse:
    """What a monitor finds wrong at one moment of a run."""

    message: str
    help: str = ""
    part: str | None = None
    energies: tuple[str, ...] = ()
    span: Span | None = None
    """The place to change, where that is not the step at which the lapse is seen."""
    related: tuple[Related, ...] = ()
    covered: tuple[tuple[str, str], ...] = ()
    """Breaches of the proof, as (rule, part), any of which tells the same and more."""


@dataclass(frozen=True, slots=True)
class Monitor:
    """One automaton. Its functions are pure: the same memory and deed give the same answer."""

    rule: str
    reads: tuple[str, ...]
    """The conditions whose values it wants to see."""
    start: Memory
    touches: Callable[[Step], Touch]
    follow: Callable[[Memory, Deed], tuple[Memory, tuple[Lapse, ...]]]
    """Memory after a step, and what is wrong with doing it then."""
    at_end: Callable[[Memory], tuple[Lapse, ...]]
    """What is still owed at the end of the procedure; nothing is asked where a job stops in the middle."""


@dataclass(frozen=True, slots=True)
class Caught:
    """A lapse in some order, the step at which it is seen (None at the end), and a run that shows it."""

    lapse: Lapse
    step: str | None
    trace: tuple[Move, ...]


@dataclass(frozen=True, slots=True)
class Watched:
    """What one monitor saw over every order."""

    caught: tuple[Caught, ...]
    explored: bool
    """False where the budget ended first: then what was not caught may still be there."""
    states: int
    """Places of a run, with memory and conditions, that were looked at."""

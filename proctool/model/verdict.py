"""What the proof answers."""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass
from enum import StrEnum

from proctool.model.finding import Move
from proctool.model.span import Span

DEFAULT_BUDGET = 200_000
"""Pairs of (done steps, state) that are looked at before a proof is given up as `unproven`. A count, not a
time: the answer must not depend on the machine."""


class Verdict(StrEnum):
    """The answer for one procedure on one unit."""

    SAFE = "safe"
    SAFE_WITH_DEVIATIONS = "safe_with_deviations"
    UNSAFE = "unsafe"
    UNPROVEN = "unproven"


class Charge(StrEnum):
    """What a part holds of one energy."""

    ZERO = "zero"
    TRAPPED = "trapped"
    LIVE = "live"


@dataclass(frozen=True, slots=True)
class Breach:
    """One rule broken by one step on one part, with a shortest trace that shows it."""

    rule: str
    step: str | None
    """None at the end of the procedure."""
    part: str
    energies: tuple[str, ...]
    trace: tuple[Move, ...]


@dataclass(frozen=True, slots=True)
class Fork:
    """Two orders, every check passing, that end differently: alike but for two steps side by side."""

    one: tuple[Move, ...]
    other: tuple[Move, ...]
    swapped: tuple[str, str]
    """The two steps, as they stand in the first order."""
    differ: tuple[str, ...]
    """Parts and conditions that are not the same in the end."""


@dataclass(frozen=True, slots=True)
class Proof:
    """The whole answer of the exploration."""

    breaches: tuple[Breach, ...]
    explored: bool
    """False where the budget ended first: then nothing is proven."""
    states: int
    """Pairs of (done steps, state) that were looked at."""
    orders: int | None
    """How many orders the main steps allow; None where counting them takes too long."""
    worst: ReadOnly[str, ReadOnly[tuple[str, str], Charge]]
    """For each step, by (part, energy), the worst charge after it over all orders found."""
    moved: frozenset[Span] = frozenset()
    """Where the acts are written that changed the state of the unit in some run."""
    fork: Fork | None = None
    """None where all orders end alike, or where not all could be explored."""


@dataclass(frozen=True, slots=True)
class Snapshot:
    """The unit after some step of a run: charges by (part, energy), and the words of each device."""

    step: str
    passed: bool | None
    charges: ReadOnly[tuple[str, str], Charge]
    words: ReadOnly[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Judgement:
    """Verdict of one procedure on one unit, as reports show it."""

    procedure: str
    unit: str
    verdict: Verdict
    orders: int | None
    states: int

"""What a slip at a step would lead to: a step skipped, done too early, or done twice."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from proctool.model.finding import Move


class SlipKind(StrEnum):
    """What goes wrong at a step."""

    SKIPPED = "skipped"
    EARLY = "early"
    TWICE = "twice"


class Outcome(StrEnum):
    """What a slip leads to, the gravest first."""

    CRITICAL = "critical"
    """A rule that guards people is broken, and nothing on the way shows that something is wrong."""
    UNKNOWN = "unknown"
    """The budget ended first: not known to be anything better than critical."""
    BREAKS = "breaks"
    """Another rule is broken and nothing on the way shows it."""
    CAUGHT = "caught"
    """An unmet need or a check that cannot pass shows it before anything is broken."""
    HARMLESS = "harmless"
    """Nothing is broken that is not broken without the slip."""


@dataclass(frozen=True, slots=True)
class Catch:
    """What shows a slip: a need that does not hold, or a check that cannot pass."""

    kind: str
    """`need` or `check`."""
    step: str
    part: str
    """A condition's name where a need on a condition is not met."""
    rule: str
    """The rule that the proof would report there."""

    @property
    def report(self) -> tuple[str, str, str]:
        """What the proof would report: rule, step, part."""
        return self.rule, self.step, self.part


@dataclass(frozen=True, slots=True)
class Slip:
    """One slip and what follows from it."""

    kind: SlipKind
    before: str | None
    """Of an early step: the step it is done before; else None."""
    outcome: Outcome
    rule: str | None = None
    """What is broken; of a caught slip, what would be broken if the catch were passed over."""
    part: str | None = None
    trace: tuple[Move, ...] = ()
    """Shortest run of steps, as done, to what is broken. Of a caught slip, past the catch."""
    caught_by: Catch | None = None


@dataclass(frozen=True, slots=True)
class StepSlips:
    """Every slip at one step."""

    step: str
    slips: tuple[Slip, ...]

    @property
    def critical(self) -> bool:
        """Whether some slip here can hurt people unseen; what is unknown counts as that."""
        return any(slip.outcome in {Outcome.CRITICAL, Outcome.UNKNOWN} for slip in self.slips)

"""What a check has to say to a person."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from proctool.model.span import Span
from proctool.model.story import Story


class Level(StrEnum):
    """How much a finding weighs: an error stops a build, a warning is printed in the audit, advice helps."""

    ERROR = "error"
    WARNING = "warning"
    ADVICE = "advice"


@dataclass(frozen=True, slots=True)
class Move:
    """One step of a trace. `passed` is None for a step that cannot fail."""

    step: str
    passed: bool | None


@dataclass(frozen=True, slots=True)
class Related:
    """A second place that helps to understand a finding."""

    span: Span
    label: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault, with its place and what to do about it."""

    rule: str
    level: Level
    message: str
    file: str
    """Path relative to the library; the folder itself is `.`"""
    span: Span | None = None
    procedure: str | None = None
    unit: str | None = None
    step: str | None = None
    """Path id of the resolved step; None for the end of a procedure and for faults of files."""
    part: str | None = None
    energies: tuple[str, ...] = ()
    trace: tuple[Move, ...] = ()
    """Shortest run of steps that shows the fault, the step that breaks included."""
    told: tuple[str, ...] = ()
    """The trace in words, one for each step."""
    story: Story | None = None
    """What each step of the trace changed, and what would mend the finding."""
    help: str | None = None
    related: tuple[Related, ...] = ()
    deviated: bool = False
    """Whether a valid deviation covers it."""

    @property
    def sort_key(self) -> tuple[str, int, int, str, str, str, str, str]:
        """The one total order of findings: file, line, column, rule, unit, step, part, message."""
        line, column = (self.span.line, self.span.column) if self.span else (0, 0)
        return (
            self.file,
            line,
            column,
            self.rule,
            self.unit or "",
            self.step or "",
            self.part or "",
            self.message,
        )


def file_fault(
    rule: str, message: str, span: Span, *, help: str | None = None, related: tuple[Related, ...] = ()
) -> Finding:
    """A finding at error level about what stands in a file at `span`."""
    return Finding(rule, Level.ERROR, message, span.file, span, help=help, related=related)

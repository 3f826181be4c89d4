"""An audit of a library: what is proven of every opened part, and all that was taken on somebody's word."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from proctool.model.coverage import Coverage, Mark, Row
from proctool.model.finding import Finding
from proctool.model.plan import Plan
from proctool.model.procedure import Deviation
from proctool.model.span import Span
from proctool.model.unit import Checked
from proctool.model.verdict import Judgement


@dataclass(frozen=True, slots=True)
class Requirement:
    """One thing that a written energy control procedure must hold, and the steps that do it."""

    clause: str
    asks: str
    mark: Mark
    steps: tuple[str, ...] = ()
    """Path ids of main steps, in file order."""
    why: str = ""
    of_rows: bool = False
    """Whether it only sums up the rows of the matrix, so that a gap in it stands there already."""

    @property
    def gap(self) -> bool:
        """Whether it is a gap that no row of the matrix shows."""
        return self.mark.gap and not self.of_rows


@dataclass(frozen=True, slots=True)
class Audited:
    """One procedure on one unit."""

    procedure: str
    title: str
    unit: str
    judgement: Judgement
    plan: Plan | None
    """None where the procedure could not be resolved for the unit: nothing is known of it."""
    coverage: Coverage
    requirements: tuple[Requirement, ...]

    @property
    def gaps(self) -> int:
        """How many cells and requirements somebody must look at; one where nothing is known of the case."""
        if self.plan is None:
            return 1
        cells = sum(len(row.gaps) for row in self.coverage.rows)
        return cells + sum(requirement.gap for requirement in self.requirements)


@dataclass(frozen=True, slots=True)
class OnWord:
    """One thing that the proof takes as it is written."""

    kind: str
    """What it is, as a heading."""
    where: str
    """The unit or the procedure."""
    about: str
    """The part, the energy, the rule."""
    said: str
    """What is said, and what that spares the proof."""
    span: Span | None = None


@dataclass(frozen=True, slots=True)
class Departure:
    """A recorded deviation on the day of the audit."""

    procedure: str
    deviation: Deviation
    state: str
    """`valid`, `covers nothing`, `ended` or `refused`."""


class Due(StrEnum):
    """How a yearly review stands."""

    DONE = "not due yet"
    SOON = "due soon"
    OVERDUE = "overdue"
    NEVER = "no date to count from"
    NOT_ASKED = "not asked: nothing is locked"


@dataclass(frozen=True, slots=True)
class Review:
    """The yearly inspection of a procedure (29 CFR 1910.147(c)(6))."""

    procedure: str
    state: Due
    last: date | None = None
    """The last inspection that counts."""
    by: str = ""
    due: date | None = None


@dataclass(frozen=True, slots=True)
class Served:
    """A unit, who walked it with its file, and the procedures of the set that fit it."""

    unit: str
    title: str
    checked: Checked | None
    procedures: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """One row of the matrix with its number; numbers run through the whole audit."""

    number: int
    case: Audited
    row: Row

    @property
    def key(self) -> str:
        """What names it in every audit: procedure, unit, part, energy, and what it stands beside."""
        parts = (self.case.procedure, self.case.unit, self.row.part, self.row.energy, self.row.beside)
        return "/".join(filter(None, parts))


@dataclass(frozen=True, slots=True)
class Sample:
    """The rows to look at by hand, and how they were chosen."""

    seed: str
    lines: tuple[Line, ...]
    method: str
    chance: str
    """What a clean sample says of the rest."""


@dataclass(frozen=True, slots=True)
class Audit:
    """Everything an audit shows, on one day, by one version of proctool."""

    library: str
    today: date
    version: str
    profile: str
    lowered: tuple[str, ...]
    """Rules whose level the library lowered."""
    cases: tuple[Audited, ...]
    lines: tuple[Line, ...]
    served: tuple[Served, ...]
    reviews: tuple[Review, ...]
    departures: tuple[Departure, ...]
    words: tuple[OnWord, ...]
    findings: tuple[Finding, ...]
    left_out: tuple[str, ...]
    """Files with errors: what they describe is missing here."""
    sample: Sample

    @property
    def gaps(self) -> int:
        """How many cells and requirements somebody must look at."""
        return sum(case.gaps for case in self.cases)

    @property
    def uncovered(self) -> tuple[Served, ...]:
        """Units that no procedure fits."""
        return tuple(served for served in self.served if not served.procedures)

"""What the public API gives back: cases, checks, what was built."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from proctool.model.finding import Finding, Level
from proctool.model.plan import Plan
from proctool.model.procedure import Deviation
from proctool.model.rows import Table
from proctool.model.slips import StepSlips
from proctool.model.verdict import Judgement, Proof, Verdict
from proctool.prove import replay
from proctool.report import json, slips, text
from proctool.report.walk import walk

FORMATS = frozenset({"html", "pdf"})
"""What `build` can write."""


@dataclass(frozen=True, slots=True)
class Case:
    """One procedure on one unit, carried as far as it could be."""

    procedure: str
    unit: str
    plan: Plan | None
    proof: Proof | None
    judgement: Judgement
    findings: tuple[Finding, ...]
    used: frozenset[Deviation] = frozenset()
    """Deviations that cover some finding."""
    departures: tuple[tuple[Finding, Deviation], ...] = ()
    """Each finding that a deviation covers, as it was before, with that deviation."""
    tables: tuple[Table, ...] = ()
    """The procedure's tables that could be worked out for the unit."""

    @property
    def proven(self) -> bool:
        """Whether its verdict is safe, with deviations or without."""
        return self.judgement.verdict in {Verdict.SAFE, Verdict.SAFE_WITH_DEVIATIONS}

    @property
    def faulty(self) -> bool:
        """Whether it has an error or is not proven."""
        return not self.proven or any(finding.level is Level.ERROR for finding in self.findings)

    def to_text(self) -> str:
        """The resolved steps and what is live, trapped or zero after each, for people; needs a plan."""
        if self.plan is None or self.proof is None:
            return ""
        start = replay(self.plan, ()).start
        return walk(self.plan, self.proof, self.judgement, start)


@dataclass(frozen=True, slots=True)
class Check:
    """What `check` found: the name of the library, its findings in order, a judgement for each case."""

    library: str | None
    findings: tuple[Finding, ...]
    verdicts: tuple[Judgement, ...]

    @property
    def passed(self) -> bool:
        """Whether there is no error and every case is proven."""
        proven = {Verdict.SAFE, Verdict.SAFE_WITH_DEVIATIONS}
        return all(f.level is not Level.ERROR for f in self.findings) and all(
            judgement.verdict in proven for judgement in self.verdicts
        )

    def to_json(self) -> str:
        """The report for programs."""
        return json.report(self.library, self.findings, self.verdicts)

    def to_text(self, *, everything: bool = False, paint: text.Paint = text.plain) -> str:
        """The report for people; `everything` shows findings past the first ones too."""
        return text.report(self.findings, self.verdicts, everything=everything, paint=paint)


@dataclass(frozen=True, slots=True)
class Built:
    """What `build` wrote, and which cases it refused because they have errors or are not proven."""

    written: tuple[Path, ...]
    refused: tuple[Judgement, ...]
    left_out: tuple[str, ...] = ()
    """Files with errors: what they describe was not built."""
    withdrawn: tuple[Path, ...] = ()
    """Pages of an earlier build that were taken away: their case is refused now."""


@dataclass(frozen=True, slots=True)
class Slips:
    """What each slip at each step of one proven case would lead to."""

    plan: Plan
    steps: tuple[StepSlips, ...]

    @property
    def critical(self) -> frozenset[str]:
        """The ids of the critical steps."""
        return frozenset(step.step for step in self.steps if step.critical)

    def to_json(self) -> str:
        """The report for programs."""
        return slips.to_json(self.plan, self.steps)

    def to_text(self, *, paint: text.Paint = text.plain) -> str:
        """The report for people."""
        return slips.to_text(self.plan, self.steps, paint=paint)

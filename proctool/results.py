"""What the public API gives back: cases, checks, what was built."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, field, replace
from pathlib import Path

from proctool.model.finding import Finding, Level
from proctool.model.gist import Gist
from proctool.model.plan import Plan
from proctool.model.procedure import Deviation
from proctool.model.rows import Table
from proctool.model.slips import StepSlips
from proctool.model.span import Span
from proctool.model.verdict import Judgement, Proof, Snapshot, Verdict
from proctool.prove.replay import replay, straight_run
from proctool.report import json, slips, steps, text
from proctool.report import statistics as counts
from proctool.report.baseline import Baseline, Sifted, sift, taken
from proctool.report.baseline import notes as baseline_notes
from proctool.report.walk import walk
from proctool.rules.explain import markdown
from proctool.rules.lasting import lasting
from proctool.rules.packs import RULES
from proctool.rules.page import parse
from proctool.source.quote import quote

FORMATS = frozenset({"html", "pdf", "card", "tables"})
"""What `build` can write: the manual as a page and as sheets, the lockout card, the sheets of the tables."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one procedure on one unit: all that a check of the whole library needs of it."""

    judgement: Judgement
    findings: tuple[Finding, ...]
    used: frozenset[Deviation] = frozenset()
    """Deviations that cover some finding."""
    gist: Gist | None = None
    """None where it could not be resolved."""
    places: ReadOnly[str, Span] = field(default_factory=dict)
    """Where the steps are written that traces of its findings pass, by step."""

    @property
    def procedure(self) -> str:
        """The name of the procedure."""
        return self.judgement.procedure

    @property
    def unit(self) -> str:
        """The name of the unit."""
        return self.judgement.unit

    @property
    def proven(self) -> bool:
        """Whether its verdict is safe, with deviations or without."""
        return self.judgement.verdict in {Verdict.SAFE, Verdict.SAFE_WITH_DEVIATIONS}

    @property
    def faulty(self) -> bool:
        """Whether it has an error or is not proven."""
        return not self.proven or any(finding.level is Level.ERROR for finding in self.findings)


@dataclass(frozen=True, slots=True)
class Case:
    """One procedure on one unit, carried as far as it could be."""

    outcome: Outcome
    plan: Plan | None = None
    proof: Proof | None = None
    departures: tuple[tuple[Finding, Deviation], ...] = ()
    """Each finding that a deviation covers, as it was before, with that deviation."""
    tables: tuple[Table, ...] = ()
    """The procedure's tables that could be worked out for the unit."""

    @property
    def procedure(self) -> str:
        """The name of the procedure."""
        return self.outcome.procedure

    @property
    def unit(self) -> str:
        """The name of the unit."""
        return self.outcome.unit

    @property
    def judgement(self) -> Judgement:
        """Its verdict, and what that stands on."""
        return self.outcome.judgement

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What was found in it."""
        return self.outcome.findings

    @property
    def proven(self) -> bool:
        """Whether its verdict is safe, with deviations or without."""
        return self.outcome.proven

    @property
    def faulty(self) -> bool:
        """Whether it has an error or is not proven."""
        return self.outcome.faulty

    def run(self) -> tuple[Snapshot, ...]:
        """The main steps in file order, every check passing, the start first; nothing without a plan."""
        if self.plan is None:
            return ()
        walked = replay(self.plan, straight_run(self.plan))
        return (walked.start, *walked.snapshots)

    def to_text(self) -> str:
        """The resolved steps, what is live, trapped or zero after each, and its faults; needs a plan."""
        if self.plan is None or self.proof is None:
            return ""
        start = replay(self.plan, ()).start
        return walk(self.plan, self.proof, self.judgement, start, self.findings)

    def to_json(self, around: Iterable[Finding] = ()) -> str:
        """The same for programs; `around` is what was found besides, where there is no plan."""
        start = replay(self.plan, ()).start if self.plan is not None else None
        findings = dict.fromkeys((*self.findings, *around))
        return steps.to_json(self.judgement, findings, self.plan, self.proof, start)


@dataclass(frozen=True, slots=True)
class Check:
    """What `check` found: the name of the library, its findings in order, a judgement for each case."""

    library: str | None
    findings: tuple[Finding, ...]
    verdicts: tuple[Judgement, ...]
    whole: bool = True
    """Whether all of the library was checked."""
    files: tuple[str, ...] = ()
    """The files that were read."""
    lines: ReadOnly[tuple[str, int], str] = field(default_factory=dict)
    """Lines that findings and their traces point to, by file and number, as they stand there."""
    steps: ReadOnly[tuple[str, str, str], Span] = field(default_factory=dict)
    """Where the steps of traces are written, by procedure, unit and step."""
    held: Sifted | None = None
    """What a baseline took out of the findings."""

    def quoting(self, files: ReadOnly[str, bytes]) -> Check:
        """The same with the lines of files that findings and their traces point to."""
        spans = (*self.steps.values(), *(f.span for f in self.findings if f.span is not None))
        return replace(self, lines=quote(files, spans))

    @property
    def passed(self) -> bool:
        """Whether there is no error and every case is proven."""
        proven = {Verdict.SAFE, Verdict.SAFE_WITH_DEVIATIONS}
        return all(f.level is not Level.ERROR for f in self.findings) and all(
            judgement.verdict in proven for judgement in self.verdicts
        )

    def baseline(self, library: str) -> Baseline:
        """The findings as a baseline; what keeps a case from being proven and never-rules are not in it."""
        return taken(library, self.findings, lasting(self.findings, self.verdicts))

    def against(self, baseline: Baseline) -> Check:
        """The same without the findings that a baseline holds. Verdicts stay as they are."""
        sifted = sift(self.findings, baseline, lasting(self.findings, self.verdicts))
        return replace(self, findings=sifted.left, held=sifted)

    def to_json(self, *, statistics: bool = False) -> str:
        """The report for programs."""
        more: dict[str, object] = {}
        if statistics:
            more["statistics"] = counts.to_data(self.findings, self.verdicts)
        if self.held is not None:
            mended = self.held.mended if self.whole else None
            more["baseline"] = {"known": self.held.known, "mended": mended, "refused": self.held.refused}
        return json.report(self.library, self.findings, self.verdicts, more)

    def to_sarif(self, *, version: str, folder: str = "") -> str:
        """The report for code scanning.

        `version` is that of proctool; `folder` is where the library lies below the folder that places are to
        be relative to, and ends in a stroke.
        """
        from proctool.report import sarif  # noqa: PLC0415 - only who asks for it needs it

        rules = {finding.rule: RULES[finding.rule] for finding in self.findings if finding.rule in RULES}
        about = {
            name: sarif.About(rule.level, page.asks, page.why, markdown(rule))
            for name, rule in rules.items()
            for page in [parse(rule)]
        }
        context = sarif.Context(version, folder, about, self.lines, self.steps)
        return sarif.report(self.findings, self.verdicts, context)

    def to_junit(self) -> str:
        """The report for servers that run checks."""
        from proctool.report import junit  # noqa: PLC0415 - as above

        return junit.report(self.library, self.findings, self.verdicts, self.files)

    def to_text(
        self,
        *,
        everything: bool = False,
        explain: bool = False,
        statistics: bool = False,
        width: int = text.WIDTH,
        paint: text.Paint = text.plain,
    ) -> str:
        """The report for people.

        `everything` shows findings past the first ones too, `explain` each step of a trace in words.
        """
        style = text.Style(everything, explain, width, paint, self.lines)
        parts = [counts.to_text(self.findings, self.verdicts)] if statistics else []
        if self.held is not None:
            parts.append(baseline_notes(self.held, whole=self.whole, width=width))
        return text.report(self.findings, self.verdicts, style, parts)


@dataclass(frozen=True, slots=True)
class Rebuilt:
    """A case whose pages were made anew, and why: what differs from last time, in words."""

    procedure: str
    unit: str
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Built:
    """What `build` wrote, and which cases it refused because they have errors or are not proven."""

    written: tuple[Path, ...]
    refused: tuple[Judgement, ...]
    left_out: tuple[str, ...] = ()
    """Files with errors: what they describe was not built."""
    withdrawn: tuple[Path, ...] = ()
    """Pages of an earlier build that were taken away: their case is refused now, or they led to one."""
    around: tuple[Path, ...] = ()
    """Pages around the manuals besides the first, which leads to them."""
    failed: tuple[tuple[Judgement, str], ...] = ()
    """Cases whose pages could not be made, each with the reason."""
    anew: tuple[Rebuilt, ...] = ()
    """Cases whose pages were not those kept from an earlier run."""


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

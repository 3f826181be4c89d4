"""An audit of a library: check → coverage of every case → what was taken on somebody's word."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from proctool.draft.coverage.coverage import coverage
from proctool.focus import Scope
from proctool.library import Library
from proctool.model.audit import Audit, Audited, Departure, Line, OnWord, Served
from proctool.model.coverage import Coverage
from proctool.model.verdict import DEFAULT_BUDGET
from proctool.publish.atomic import write
from proctool.report.audit import json, sheet, text
from proctool.report.audit.on_word import of_plans, of_unit
from proctool.report.audit.requirements import requirements
from proctool.report.audit.reviews import review
from proctool.report.audit.sample import sample
from proctool.report.text import WIDTH, Paint, plain
from proctool.results import Case, Check
from proctool.rules.deviations import valid
from proctool.rules.profile import DEFAULT
from proctool.watch import Watch, unwatched

AUDIT_FORMATS = ("html", "csv", "json")
"""What an audit can be written as."""
SEED = "1"
"""Seed of the sample where none is given."""
MANY = 12
"""Rows sampled where no number is given."""


@dataclass(frozen=True, slots=True)
class Audits:
    """An audit in all its formats."""

    audit: Audit
    check: Check

    @property
    def clean(self) -> bool:
        """Whether there is no gap, no error, no case that is not proven, and no unit without a procedure."""
        return self.check.passed and not self.audit.gaps and not self.audit.uncovered

    def to_text(self, *, width: int = WIDTH, paint: Paint = plain) -> str:
        """The summary for people at a terminal."""
        return text.to_text(self.audit, width=width, paint=paint)

    def to_json(self) -> str:
        """The whole audit for programs."""
        return json.to_json(self.audit)

    def to_csv(self) -> str:
        """The matrix for spreadsheets."""
        return sheet.to_csv(self.audit)

    def write(self, to: Path, formats: Iterable[str]) -> tuple[Path, ...]:
        """Write `audit.html`, `audit.csv` and `audit.json` into a folder, those that are asked for.

        Raises:
            OSError: the folder cannot be written to. Files already there stay whole.
        """
        makers = {"html": self.to_html, "csv": self.to_csv, "json": self.to_json}
        written = []
        for ending in formats:
            path = to / f"audit.{ending}"
            write(path, makers[ending]().encode())
            written.append(path)
        return tuple(written)

    def to_html(self) -> str:
        """One self-contained page, for screens and paper."""
        from proctool.render.audit import page  # noqa: PLC0415 - only who asks for the page needs it

        return page(self.audit)


def audited(
    library: Library,
    *,
    version: str,
    procedure: str | None = None,
    unit: str | None = None,
    budget: int = DEFAULT_BUDGET,
    today: date | None = None,
    seed: str = SEED,
    many: int = MANY,
    watch: Watch = unwatched,
) -> Audits:
    """Audit a library, or one procedure or unit of it.

    `version` is that of proctool; `today` decides on deviations and reviews; `seed` and `many` choose the
    rows of the sample; `budget` holds for each proof and for the walk of each coverage; `watch` may look at
    each case as it is proven.
    """
    day = today or datetime.now().astimezone().date()
    proven = library.cases(procedure=procedure, unit=unit, budget=budget, today=day)
    kept = tuple(watch("proving", len(library.pairs(procedure=procedure, unit=unit)), proven))
    check = library.told(tuple(case.outcome for case in kept), Scope(procedure, unit, budget, day))
    cases = tuple(_audited(library, case, budget) for case in kept)
    rows = ((case, row) for case in cases for row in case.coverage.rows)
    lines = tuple(Line(number, case, row) for number, (case, row) in enumerate(rows, start=1))
    named = tuple(written for name, written in library.procedures.items() if procedure in {None, name})
    plans = {p.name: [c.plan for c in kept if c.procedure == p.name and c.plan is not None] for p in named}
    served = tuple(_served(library, cases, check, unit))
    told = Audit(
        library=library.name or "a library without a readable library.yaml",
        today=day,
        version=version,
        profile=_profile(library),
        lowered=library.levels[0].lowered,
        cases=cases,
        lines=lines,
        served=served,
        reviews=tuple(review(written, plans[written.name], day) for written in named),
        departures=tuple(_departures(library, procedure, check, day)),
        words=tuple(_words(library, cases, served)),
        findings=check.findings,
        left_out=library.faulty_files,
        sample=sample(lines, seed, many),
    )
    return Audits(told, check)


def _audited(library: Library, case: Case, budget: int) -> Audited:
    title = library.procedures[case.procedure].title
    if case.plan is None or case.proof is None:
        nothing = Coverage((), walked=False)
        return Audited(case.procedure, title, case.unit, case.judgement, None, nothing, ())
    found = coverage(case.plan, budget=budget)
    asked = requirements(case.plan, case.proof, found)
    return Audited(case.procedure, title, case.unit, case.judgement, case.plan, found, asked)


def _profile(library: Library) -> str:
    chosen = library.file.profile if library.file is not None else None
    return chosen.text if chosen is not None else DEFAULT


def _served(library: Library, cases: Iterable[Audited], check: Check, unit: str | None) -> Iterator[Served]:
    """Every unit of the set, with the procedures of the set for it; one left out for a fault has none.

    Where only one procedure or one file is audited, the set is the units that it is for.
    """
    for name in library.units.families:
        whole = library.units.whole.get(name)
        title, checked = (whole.title, whole.checked) if whole is not None else ("", None)
        fit = tuple(case.procedure for case in cases if case.unit == name and case.plan is not None)
        if fit or check.whole or unit == name:
            yield Served(name, title, checked, fit)


def _departures(library: Library, procedure: str | None, check: Check, day: date) -> Iterator[Departure]:
    idle = {f.span for f in check.findings if f.rule == "content/deviation-unused"}
    for name, written in library.procedures.items():
        if procedure not in {None, name}:
            continue
        kept, _ = valid(written.deviations, day, library.house)
        for deviation in written.deviations:
            if deviation in kept:
                state = "covers nothing" if deviation.rule.span in idle else "valid"
            else:
                state = "ended" if deviation.until < day.isoformat() else "refused"
            yield Departure(name, deviation, state)


def _words(library: Library, cases: Iterable[Audited], served: Iterable[Served]) -> Iterator[OnWord]:
    cases = tuple(cases)
    for name in (one.unit for one in served if one.unit in library.units.whole):
        yield from of_unit(library.units.whole[name])
    for procedure in dict.fromkeys(case.procedure for case in cases):
        plans = (case.plan for case in cases if case.procedure == procedure and case.plan is not None)
        yield from of_plans(procedure, plans)

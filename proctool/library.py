"""A library of procedures: its cases resolved and proven, checked, fixed, built.

This file wires the stages and computes nothing itself: source → resolve → prove → rules → render.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from collections.abc import Mapping as ReadOnly
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

from proctool.around import Around
from proctool.casework import Bench, carry, lost
from proctool.fix import Fixed, fix_library
from proctool.fix.disk import locked
from proctool.model.finding import Level
from proctool.model.procedure import Deviation, Procedure
from proctool.model.slips import StepSlips
from proctool.model.verdict import DEFAULT_BUDGET
from proctool.records import Records
from proctool.resolve.cycles import idle_cycles
from proctool.results import FORMATS, Built, Case, Check, Outcome, Slips
from proctool.rules.deviations import valid
from proctool.rules.packs import RULES
from proctool.rules.run import over_document
from proctool.source.quote import quote

Watch = Callable[[Iterator[Case]], Iterable[Case]]
"""Sees every case as it is done."""
SlipWatch = Callable[[Iterator[StepSlips]], Iterable[StepSlips]]
"""Sees every step as its slips are proven."""


class Library(Records):
    """A library of procedures. Stages run when they are asked for."""

    @classmethod
    def from_texts(cls, texts: ReadOnly[str, str]) -> Library:
        """A library from texts by relative path, without touching the disk."""
        return cls({file: text.encode() for file, text in texts.items()})

    def cases(
        self,
        *,
        procedure: str | None = None,
        unit: str | None = None,
        budget: int = DEFAULT_BUDGET,
        today: date | None = None,
    ) -> Iterator[Case]:
        """Resolve, prove and judge each procedure on each of its units, one after the other."""
        day = today or datetime.now().astimezone().date()
        for written, name in self.pairs(procedure=procedure, unit=unit):
            yield self._case(written, name, budget, valid(written.deviations, day, self.house)[0])

    def pairs(
        self, *, procedure: str | None = None, unit: str | None = None
    ) -> tuple[tuple[Procedure, str], ...]:
        """Each procedure that is asked for with each of its units."""
        return tuple(
            (written, name)
            for written in self.procedures.values()
            for name in self.units.fitting(written)[0]
            if procedure in {None, written.name} and unit in {None, name}
            if self.kept_to.on_case(written, self.unit_files[name])
        )

    def _case(self, procedure: Procedure, name: str, budget: int, deviations: tuple[Deviation, ...]) -> Case:
        unit = self.units.whole.get(name)
        if unit is None or self.file is None:
            return lost(procedure.name, name)
        levels, _ = self.levels
        bench = Bench(self.file, self.blocks, self.units.known, levels, self.watchlist, budget, self.root)
        return carry(bench, procedure, unit, deviations)

    def _around(self, today: date) -> Around:
        known = self.file, self.procedures, self.units, self.levels[0], self.house
        return Around(*known, self.texts, today)

    def errors_around(self, case: Outcome, today: date | None = None) -> bool:
        """Whether the library's levels, the procedure's head or the unit has an error, each for itself."""
        around = self._around(today or datetime.now().astimezone().date())
        found = around.of_cases((case,), (self.procedures[case.procedure],), whole=False)
        findings = (*self.levels[1], *self.watchlist.findings, *found)
        return any(finding.level is Level.ERROR for finding in findings)

    def check(
        self,
        *,
        procedure: str | None = None,
        unit: str | None = None,
        budget: int = DEFAULT_BUDGET,
        today: date | None = None,
        watch: Watch = iter,
    ) -> Check:
        """All findings and verdicts, or those of one procedure or unit.

        `today` decides on deviations; `watch` may look at each case as it is done, to show progress.
        """
        day = today or datetime.now().astimezone().date()
        worked = self.cases(procedure=procedure, unit=unit, budget=budget, today=day)
        cases = tuple(case.outcome for case in watch(worked))
        findings = [*self.file_findings, *self.units.findings, *self.levels[1]]
        findings += idle_cycles(self.documents, self.blocks, self.procedures.values())
        findings += self.watchlist.findings
        findings += (finding for case in cases for finding in case.findings)
        named = (p for p in self.procedures.values() if procedure in {None, p.name})
        heads = tuple(filter(self.kept_to.on_head, named))
        whole = unit is None and not self.kept_to.on_unit
        everything = procedure is None and unit is None and self.focus is None
        written = (d for d in self.documents if everything or d.file == self.focus)
        findings += (finding for d in written for finding in over_document(d, self.levels[0]))
        around = self._around(day)
        findings += around.of_cases(cases, heads, whole=whole, everything=everything)
        if everything:
            findings += around.of_library(cases, readable=not self.faulty_files)
        told = tuple(sorted(dict.fromkeys(findings), key=lambda f: f.sort_key))
        steps = {(c.procedure, c.unit, step): span for c in cases for step, span in c.places.items()}
        return Check(
            library=self.name,
            findings=told,
            verdicts=tuple(case.judgement for case in cases),
            whole=everything,
            files=tuple(sorted(self.files)),
            lines=quote(self.files, (*steps.values(), *(f.span for f in told if f.span is not None))),
            steps=steps,
        )

    def fixed(self, *, budget: int = DEFAULT_BUDGET, today: date | None = None) -> Fixed:
        """All that can be fixed surely, after which the library proves the same; nothing is written.

        Each fix is tried on a copy of the whole library; only the file that PATH named is fixed, if it did.
        """

        def check(files: ReadOnly[str, bytes]) -> Check:
            return Library(files, root=self.root).check(budget=budget, today=today)

        barred = locked(self.root, self.files) if self.root is not None else {}
        return fix_library(self.files, check, focus=self.focus, locked=barred)

    def slips(self, case: Case, *, budget: int = DEFAULT_BUDGET, watch: SlipWatch = iter) -> Slips:
        """What each step of a proven case skipped, done early or done twice would lead to.

        `budget` holds for each slip by itself; `watch` may look at each step as it is done, to show progress.

        Raises:
            ValueError: the case is not proven, so a slip would tell nothing.
        """
        from proctool.draft.slips.slips import slips

        if case.plan is None or case.proof is None or not case.proven:
            raise ValueError(f"{case.procedure} on {case.unit} is not proven")
        never = frozenset(rule.id for rule in RULES.values() if rule.never)
        return Slips(case.plan, tuple(watch(slips(case.plan, case.proof, never, budget=budget))))

    def _countersigned(self, cases: Iterator[Case], budget: int) -> Iterator[Case]:
        """The cases, their critical steps marked with a place for a second signature if the library asks."""
        from proctool.draft.slips.countersign import countersigned

        asked = self.file is not None and self.file.second_signature
        for case in cases:
            if asked and case.proven:
                found = self.slips(case, budget=budget)
                yield replace(case, plan=countersigned(found.plan, found.critical))
            else:
                yield case

    def build(
        self,
        to: Path,
        *,
        formats: frozenset[str] = FORMATS,
        paper: str = "a4",
        draft: bool = False,
        procedure: str | None = None,
        unit: str | None = None,
        budget: int = DEFAULT_BUDGET,
        today: date | None = None,
        watch: Watch = iter,
    ) -> Built:
        """Write the manuals of every case that is proven; with `draft` those of the others too, marked.

        `paper` is the size of the sheets, `a4` or `letter`.

        Raises:
            ValueError: there is no such paper.
            OSError: the folder `to` cannot be written to. Files already there stay whole.
        """
        from proctool.manuals import Order, write_manuals
        from proctool.render.html import Paper
        from proctool.site import Shelf

        whole = procedure is None and unit is None
        known = tuple(self.units.whole.values()), tuple(self.procedures.values())
        shelf = Shelf(self.file, *known) if whole and self.file is not None else None
        order = Order(to, formats, draft, self.levels[0].lowered, self.root, shelf, Paper(paper))
        cases = self.cases(procedure=procedure, unit=unit, budget=budget, today=today)
        judged = (
            (case, case.faulty or self.errors_around(case.outcome, today))
            for case in watch(self._countersigned(cases, budget))
        )
        return write_manuals(order, judged, self.faulty_files)

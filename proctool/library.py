"""A library of procedures: its cases resolved and proven, checked, fixed, built.

This file wires the stages and computes nothing itself: source → resolve → prove → rules → render.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from collections.abc import Mapping as ReadOnly
from datetime import date, datetime
from itertools import groupby
from operator import itemgetter
from pathlib import Path

from proctool.around import Around
from proctool.casework import Asked, Bench, carry, lost
from proctool.fix import Fixed, fix_library
from proctool.fix.disk import locked
from proctool.focus import Scope
from proctool.keeping import ALONE, Means, Recipes, outcomes, texts_read, whole_check
from proctool.kept.store import Store
from proctool.model.procedure import Procedure
from proctool.model.slips import StepSlips
from proctool.model.verdict import DEFAULT_BUDGET
from proctool.records import Records
from proctool.resolve.cycles import idle_cycles
from proctool.results import FORMATS, Built, Case, Check, Outcome, Slips
from proctool.rules.deviations import valid
from proctool.rules.run import over_document
from proctool.watch import Watch, unwatched

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
        for written, name, asked in self._asked(procedure, unit, _day(today)):
            yield lost(written.name, name) if asked is None else carry(self._bench(budget), asked)

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

    def _asked(
        self, procedure: str | None, unit: str | None, day: date
    ) -> Iterator[tuple[Procedure, str, Asked | None]]:
        """Each case by its names, with all that it hangs on; None where its unit could not be read."""
        read = self.units.whole if self.file is not None else {}
        for written, pairs in groupby(self.pairs(procedure=procedure, unit=unit), key=itemgetter(0)):
            deviations = valid(written.deviations, day, self.house)[0]
            figures = self.figures_of(written)
            for _, name in pairs:
                yield written, name, Asked(written, read[name], deviations, figures) if name in read else None

    def _bench(self, budget: int) -> Bench:
        if self.file is None:
            raise ValueError("a library without its file has no cases")
        return Bench(self.file, self.blocks, self.units.known, self.levels[0], self.watchlist, budget)

    def _around(self, today: date, store: Store | None = None) -> Around:
        levels = self.levels[0]
        known = self.file, self.procedures, self.units, levels, self.house
        return Around(*known, self.texts, today, texts_read(levels, store))

    def _recipes(self, budget: int) -> Recipes | None:
        """None without a library file: then there are no cases to work out."""
        return Recipes(self._bench(budget)) if self.file is not None else None

    def _outcomes(
        self, scope: Scope, recipes: Recipes | None, watch: Watch, means: Means
    ) -> tuple[tuple[Outcome, Asked | None], ...]:
        """What came of each case, with what it hangs on."""
        cases = tuple(self._asked(scope.procedure, scope.unit, scope.day))
        asked = [one for _, _, one in cases if one is not None]
        worked = outcomes(recipes, asked, means) if recipes is not None else iter(())
        done = (
            lost(written.name, name).outcome if one is None else next(worked) for written, name, one in cases
        )
        found = tuple(watch("proving", len(cases), done))
        return tuple((outcome, one) for outcome, (_, _, one) in zip(found, cases, strict=True))

    def faulty(
        self, outcomes: Sequence[Outcome], today: date | None = None, store: Store | None = None
    ) -> frozenset[tuple[str, str]]:
        """The cases, by procedure and unit, that have an error in themselves or around them."""
        given = (*self.levels[1], *self.watchlist.findings)
        return self._around(_day(today), store).faulty(outcomes, given)

    def check(
        self,
        *,
        procedure: str | None = None,
        unit: str | None = None,
        budget: int = DEFAULT_BUDGET,
        today: date | None = None,
        watch: Watch = unwatched,
        means: Means = ALONE,
    ) -> Check:
        """All findings and verdicts, or those of one procedure or unit.

        `today` decides on deviations; `watch` may look at each case as it is done, to show progress; `means`
        are who does the work, and where results are kept.
        """
        scope = Scope(procedure, unit, budget, _day(today))

        def checked() -> Check:
            worked = self._outcomes(scope, self._recipes(budget), watch, means)
            cases = tuple(outcome for outcome, _ in worked)
            return self.told(cases, scope, means.store)

        return whole_check(self, scope, means.store, checked)

    def told(self, cases: Sequence[Outcome], scope: Scope, store: Store | None = None) -> Check:
        """What came of the cases of a scope, with all that is found around them."""
        findings = [*self.file_findings, *self.units.findings, *self.levels[1]]
        findings += idle_cycles(self.documents, self.blocks, self.procedures.values())
        findings += self.watchlist.findings
        findings += (finding for case in cases for finding in case.findings)
        named = (p for p in self.procedures.values() if scope.procedure in {None, p.name})
        heads = tuple(filter(self.kept_to.on_head, named))
        whole = scope.unit is None and not self.kept_to.on_unit
        everything = scope.all and self.focus is None
        written = (d for d in self.documents if everything or d.file == self.focus)
        findings += (finding for d in written for finding in over_document(d, self.levels[0]))
        around = self._around(scope.day, store)
        findings += around.of_cases(cases, heads, whole=whole, everything=everything)
        if everything:
            findings += around.of_library(cases, readable=not self.faulty_files)
        told = tuple(sorted(dict.fromkeys(findings), key=lambda f: f.sort_key))
        return Check(
            library=self.name,
            findings=told,
            verdicts=tuple(case.judgement for case in cases),
            whole=everything,
            files=tuple(sorted(self.files)),
            steps={(c.procedure, c.unit, step): span for c in cases for step, span in c.places.items()},
        ).quoting(self.files)

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
        from proctool.slipping import slips_of

        found = tuple(watch(slips_of(case, budget)))
        if case.plan is None:
            raise ValueError(f"{case.procedure} on {case.unit} has no plan")
        return Slips(case.plan, found)

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
        watch: Watch = unwatched,
        means: Means = ALONE,
    ) -> Built:
        """Write the manuals of every case that is proven; with `draft` those of the others too, marked.

        `paper` is the size of the sheets, `a4` or `letter`; `watch` and `means` are as in `check`.

        Raises:
            ValueError: there is no such paper.
            OSError: the folder `to` cannot be written to. Files already there stay whole.
        """
        from proctool.building import Order, built
        from proctool.render.html import Paper

        scope = Scope(procedure, unit, budget, _day(today))
        recipes = self._recipes(budget)
        cases = self._outcomes(scope, recipes, watch, means)
        faulty = self.faulty(tuple(outcome for outcome, _ in cases), scope.day, means.store)
        order = Order(to, formats, Paper(paper), draft, scope.all)
        return built(self, order, cases, faulty, recipes, watch, means)


def _day(today: date | None) -> date:
    return today or datetime.now().astimezone().date()

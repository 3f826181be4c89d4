"""The public face of proctool: open a library, check it, resolve it, build it.

This file wires the stages and computes nothing itself: source → resolve → prove → rules → render.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from collections.abc import Mapping as ReadOnly
from dataclasses import replace
from datetime import date, datetime
from functools import cached_property
from importlib import resources
from pathlib import Path

from proctool.around import Around, texts
from proctool.baseline import BaselineError, read_baseline, write_baseline
from proctool.casework import Bench, carry, lost
from proctool.fix import Fixed, fix_library
from proctool.fix.diff import unified
from proctool.fix.disk import locked, write_fixed
from proctool.focus import Focus
from proctool.model.document import Document, Kind
from proctool.model.finding import Finding, Level
from proctool.model.procedure import Block, Deviation, LibraryFile, Procedure, Profile
from proctool.model.slips import StepSlips
from proctool.model.verdict import DEFAULT_BUDGET
from proctool.publish.start import NotEmptyError, new_library
from proctool.report.baseline import Baseline
from proctool.resolve.cycles import idle_cycles
from proctool.resolve.units import Units, build_units
from proctool.results import FORMATS, Built, Case, Check, Slips, places_of_steps
from proctool.rules.deviations import valid
from proctool.rules.explain import explained, listed
from proctool.rules.language.texts import TextSubject
from proctool.rules.levels import Levels, library_levels
from proctool.rules.packs import RULES
from proctool.rules.rule import Rule
from proctool.rules.run import over_document
from proctool.rules.watched import Watchlist, named, watchlist
from proctool.source import decode, read
from proctool.source.files import collect
from proctool.source.quote import quote


class OpenError(Exception):
    """A library that cannot be opened at all: no such folder, no library file. The text says what to do."""


__all__ = [
    "FORMATS",
    "RULES",
    "Baseline",
    "BaselineError",
    "Built",
    "Case",
    "Check",
    "Fixed",
    "Library",
    "NotEmptyError",
    "OpenError",
    "SlipWatch",
    "Slips",
    "Watch",
    "explained",
    "listed",
    "new_library",
    "open_library",
    "read_baseline",
    "unified",
    "write_baseline",
    "write_fixed",
]

Watch = Callable[[Iterator[Case]], Iterable[Case]]
"""Sees every case as it is done."""
SlipWatch = Callable[[Iterator[StepSlips]], Iterable[StepSlips]]
"""Sees every step as its slips are proven."""


class Library:
    """A library of procedures, read once. Stages run when they are asked for."""

    def __init__(
        self,
        files: ReadOnly[str, bytes],
        *,
        root: Path | None = None,
        focus: str | None = None,
        findings: tuple[Finding, ...] = (),
    ) -> None:
        self.root = root
        self.focus = focus
        """The one file that PATH named; checks keep to it."""
        self._files = files
        self._documents, found = read(files)
        self._file_findings = (*findings, *found)

    @classmethod
    def from_texts(cls, texts: ReadOnly[str, str]) -> Library:
        """A library from texts by relative path, without touching the disk."""
        return cls({file: text.encode() for file, text in texts.items()})

    def _of_kind(self, kind: Kind) -> dict[str, Document]:
        return {d.name.text: d for d in self._documents if d.kind is kind}

    @cached_property
    def faulty_files(self) -> tuple[str, ...]:
        """Files with errors in them, which are left out."""
        findings = (*self._file_findings, *self.units.findings)
        return tuple(sorted({f.file for f in findings if f.level is Level.ERROR}))

    @cached_property
    def file(self) -> LibraryFile | None:
        """What `library.yaml` says, or None where it could not be read."""
        found = tuple(self._of_kind(Kind.LIBRARY).values())
        return decode.library(found[0]) if found else None

    @property
    def name(self) -> str | None:
        """The name that `library.yaml` gives, or None where it could not be read."""
        return self.file.name if self.file is not None else None

    @cached_property
    def blocks(self) -> ReadOnly[str, Block]:
        """Blocks by name."""
        return {name: decode.block(d) for name, d in self._of_kind(Kind.BLOCK).items()}

    @cached_property
    def procedures(self) -> ReadOnly[str, Procedure]:
        """Procedures by name, in the order of their names."""
        return {name: decode.procedure(d) for name, d in sorted(self._of_kind(Kind.PROCEDURE).items())}

    @cached_property
    def units(self) -> Units:
        """Units on their bases."""
        return build_units(self._documents)

    @cached_property
    def _levels(self) -> tuple[Levels, tuple[Finding, ...]]:
        if self.file is None:
            return Levels(), ()
        return library_levels(self.file.profile, self.file.levels, self._profiles, self._house)

    @cached_property
    def _house(self) -> ReadOnly[str, Rule]:
        """The library's own rules by id."""
        return named(self.file.house_rules) if self.file is not None else {}

    @cached_property
    def watchlist(self) -> Watchlist:
        """What the profile and the house rules ask of every run."""
        if self.file is None:
            return Watchlist()
        units = self.units
        whole = len(units.whole) == len(units.families)
        return watchlist(self.file, self._profiles, units.whole.values(), self._levels[0], whole=whole)

    @cached_property
    def _profiles(self) -> ReadOnly[str, Profile]:
        """The profiles that proctool brings, and those of the library."""
        folder = resources.files("proctool.rules") / "profiles"
        brought, _ = read({file.name: file.read_bytes() for file in folder.iterdir()})
        own = self._of_kind(Kind.PROFILE)
        return {d.name.text: decode.profile(d) for d in (*brought, *own.values())}

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
            yield self._case(written, name, budget, valid(written.deviations, day, self._house)[0])

    def pairs(
        self, *, procedure: str | None = None, unit: str | None = None
    ) -> tuple[tuple[Procedure, str], ...]:
        """Each procedure that is asked for with each of its units."""
        return tuple(
            (written, name)
            for written in self.procedures.values()
            for name in self.units.fitting(written)[0]
            if procedure in {None, written.name} and unit in {None, name}
            if self._focus.on_case(written, self._unit_files[name])
        )

    @cached_property
    def _focus(self) -> Focus:
        procedures = (procedure.span.file for procedure in self.procedures.values())
        return Focus(self.focus, frozenset(procedures), frozenset(self._unit_files.values()))

    @cached_property
    def _unit_files(self) -> ReadOnly[str, str]:
        return {name: document.file for name, document in self._of_kind(Kind.UNIT).items()}

    @cached_property
    def _texts(self) -> tuple[TextSubject, ...]:
        return texts(self.file, self.procedures, self.blocks, self._documents, self.units.known)

    def _case(self, procedure: Procedure, name: str, budget: int, deviations: tuple[Deviation, ...]) -> Case:
        unit = self.units.whole.get(name)
        if unit is None or self.file is None:
            return lost(procedure.name, name)
        levels, _ = self._levels
        bench = Bench(self.file, self.blocks, self.units.known, levels, self.watchlist, budget, self.root)
        return carry(bench, procedure, unit, deviations)

    def _around(self, today: date) -> Around:
        known = self.file, self.procedures, self.units, self._levels[0], self._house
        return Around(*known, self._texts, today)

    def errors_around(self, case: Case, today: date | None = None) -> bool:
        """Whether the library's levels, the procedure's head or the unit has an error, each for itself."""
        around = self._around(today or datetime.now().astimezone().date())
        found = around.of_cases((case,), (self.procedures[case.procedure],), whole=False)
        findings = (*self._levels[1], *self.watchlist.findings, *found)
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
        cases = tuple(watch(self.cases(procedure=procedure, unit=unit, budget=budget, today=day)))
        findings = [*self._file_findings, *self.units.findings, *self._levels[1]]
        findings += idle_cycles(self._documents, self.blocks, self.procedures.values())
        findings += self.watchlist.findings
        findings += (finding for case in cases for finding in case.findings)
        named = (p for p in self.procedures.values() if procedure in {None, p.name})
        heads = tuple(filter(self._focus.on_head, named))
        whole = unit is None and not self._focus.on_unit
        everything = procedure is None and unit is None and self.focus is None
        written = (d for d in self._documents if everything or d.file == self.focus)
        findings += (finding for d in written for finding in over_document(d, self._levels[0]))
        around = self._around(day)
        findings += around.of_cases(cases, heads, whole=whole, everything=everything)
        if everything:
            findings += around.of_library(cases, readable=not self.faulty_files)
        told = tuple(sorted(dict.fromkeys(findings), key=lambda f: f.sort_key))
        steps = places_of_steps(cases, told)
        return Check(
            library=self.name,
            findings=told,
            verdicts=tuple(case.judgement for case in cases),
            whole=everything,
            files=tuple(sorted(self._files)),
            lines=quote(self._files, (*steps.values(), *(f.span for f in told if f.span is not None))),
            steps=steps,
        )

    def fixed(self, *, budget: int = DEFAULT_BUDGET, today: date | None = None) -> Fixed:
        """All that can be fixed surely, after which the library proves the same; nothing is written.

        Each fix is tried on a copy of the whole library; only the file that PATH named is fixed, if it did.
        """

        def check(files: ReadOnly[str, bytes]) -> Check:
            return Library(files, root=self.root).check(budget=budget, today=today)

        barred = locked(self.root, self._files) if self.root is not None else {}
        return fix_library(self._files, check, focus=self.focus, locked=barred)

    def slips(self, case: Case, *, budget: int = DEFAULT_BUDGET, watch: SlipWatch = iter) -> Slips:
        """What each step of a proven case skipped, done early or done twice would lead to.

        `budget` holds for each slip by itself; `watch` may look at each step as it is done, to show progress.

        Raises:
            ValueError: the case is not proven, so a slip would tell nothing.
        """
        from proctool.draft.slips import slips

        if case.plan is None or case.proof is None or not case.proven:
            raise ValueError(f"{case.procedure} on {case.unit} is not proven")
        never = frozenset(rule.id for rule in RULES.values() if rule.never)
        return Slips(case.plan, tuple(watch(slips(case.plan, case.proof, never, budget=budget))))

    def _countersigned(self, cases: Iterator[Case], budget: int) -> Iterator[Case]:
        """The cases, their critical steps marked with a place for a second signature if the library asks."""
        from proctool.draft.countersign import countersigned

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
        draft: bool = False,
        procedure: str | None = None,
        unit: str | None = None,
        budget: int = DEFAULT_BUDGET,
        today: date | None = None,
        watch: Watch = iter,
    ) -> Built:
        """Write the manuals of every case that is proven; with `draft` those of the others too, marked.

        Raises:
            OSError: the folder `to` cannot be written to. Files already there stay whole.
        """
        from proctool.manuals import Order, write_manuals

        whole = procedure is None and unit is None
        order = Order(to, formats, draft, self._levels[0].lowered, self.root, self.file if whole else None)
        cases = self.cases(procedure=procedure, unit=unit, budget=budget, today=today)
        judged = (
            (case, case.faulty or self.errors_around(case, today))
            for case in watch(self._countersigned(cases, budget))
        )
        return write_manuals(order, judged, self.faulty_files)


def open_library(path: str | Path) -> Library:
    """Read the library at a folder, or around a file in it.

    Raises:
        OpenError: there is no library there. Faults inside its files are findings, never exceptions.
    """
    collected = collect(Path(path))
    if collected.problem is not None:
        raise OpenError(collected.problem)
    return Library(collected.files, root=collected.root, focus=collected.focus, findings=collected.findings)

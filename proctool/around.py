"""What is found around the cases: at the heads of procedures, in units, over the whole library."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, replace
from datetime import date

from proctool.casework import examined_units
from proctool.model.document import Document, Kind
from proctool.model.finding import Finding, Level
from proctool.model.gist import Gist
from proctool.model.procedure import Block, LibraryFile, Procedure
from proctool.resolve.scope import Known
from proctool.resolve.units import Units
from proctool.results import Outcome
from proctool.rules.deviations import apply, unused, valid
from proctool.rules.language.texts import TextSubject, subjects
from proctool.rules.levels import Levels
from proctool.rules.rule import LibrarySubject, ProcedureSubject, Rule
from proctool.rules.run import over_library, over_procedure


def texts(
    library: LibraryFile | None,
    procedures: ReadOnly[str, Procedure],
    blocks: ReadOnly[str, Block],
    documents: Iterable[Document],
    known: Known,
) -> tuple[TextSubject, ...]:
    """The texts of a library as written, each once for all units; none without a library file."""
    if library is None:
        return ()
    units = (document for document in documents if document.kind in {Kind.UNIT, Kind.BASE})
    return subjects(library, procedures.values(), blocks.values(), units, known.facts)


@dataclass(frozen=True, slots=True)
class Around:
    """A library on one day, without its cases."""

    library: LibraryFile | None
    procedures: ReadOnly[str, Procedure]
    units: Units
    levels: Levels
    house: ReadOnly[str, Rule]
    """The company's own rules by id."""
    texts: tuple[TextSubject, ...]
    today: date
    read: Callable[[TextSubject], tuple[Finding, ...]]
    """What the rules of wording find in the texts of a file."""

    def of_cases(
        self, cases: Sequence[Outcome], heads: Iterable[Procedure], *, whole: bool, everything: bool = False
    ) -> tuple[Finding, ...]:
        """What is found at some heads, in the units of cases and in the texts that they use.

        `whole` says that all cases of these heads are there; `everything`, that every unit and text counts.
        """
        asked = {case.unit for case in cases}
        units = (unit for name, unit in self.units.whole.items() if everything or name in asked)
        shared = [subject for subject in self.texts if subject.procedure is None]
        if not everything and self.library is not None:
            files = _files(cases) | {self.library.span.file}
            shared = [subject for subject in shared if subject.file in files]
        return (
            *(finding for subject in shared for finding in self.read(subject)),
            *examined_units(cases, units, self.procedures, self.levels),
            *(finding for written in heads for finding in self._head(written, cases, whole=whole)),
        )

    def _head(self, written: Procedure, cases: Iterable[Outcome], *, whole: bool) -> tuple[Finding, ...]:
        """What is wrong with a procedure for all its units, and with its deviations.

        Only where all its cases are there can a deviation be told to be used in none.
        """
        own = [case for case in cases if case.procedure == written.name]
        kept, faults = valid(written.deviations, self.today, self.house)
        found: tuple[Finding, ...] = ()
        if self.library is not None:
            found = over_procedure(
                ProcedureSubject(written, self.library, _gists(own), self.today), self.levels
            )
            own_texts = (subject for subject in self.texts if subject.procedure == written.name)
            found += tuple(f for subject in own_texts for f in self.read(subject))
        applied = apply(found, kept)
        if whole:
            used = applied.used.union(*(case.used for case in own))
            faults = (*faults, *unused(kept, used, self.levels))
        misfits = self.units.fitting(written)[1]
        return (*misfits, *applied.findings, *(replace(fault, procedure=written.name) for fault in faults))

    def faulty(self, cases: Sequence[Outcome], given: Iterable[Finding]) -> frozenset[tuple[str, str]]:
        """The cases, by procedure and unit, that have an error in themselves or around them.

        `given` is found in the library as such: an error there is one of every case, as one at a head or in a
        unit is of all its cases.
        """
        whole = any(finding.level is Level.ERROR for finding in given)
        heads = tuple(self.procedures[name] for name in dict.fromkeys(case.procedure for case in cases))
        found = self.of_cases(cases, heads, whole=False)
        errors = tuple(finding for finding in found if finding.level is Level.ERROR)
        return frozenset(
            (case.procedure, case.unit)
            for case in cases
            if whole or case.faulty or any(self._bears_on(finding, case) for finding in errors)
        )

    def _bears_on(self, finding: Finding, case: Outcome) -> bool:
        if finding.procedure is not None or finding.unit is not None:
            return finding.procedure in {None, case.procedure} and finding.unit in {None, case.unit}
        written = self.procedures[case.procedure].span.file
        own = case.gist.files if case.gist is not None else frozenset[str]()
        shared = self.library.span.file if self.library is not None else written
        return finding.file in own | {written, shared}

    def of_library(self, cases: Sequence[Outcome], *, readable: bool) -> tuple[Finding, ...]:
        """What the rules over the whole library find, all its cases given; `readable` if every file is."""
        if self.library is None:
            return ()
        gists = _gists(cases)
        subject = LibrarySubject(
            self.library,
            tuple(self.procedures.values()),
            gists,
            tuple(self.units.whole.values()),
            readable and len(gists) == len(cases),
        )
        return over_library(subject, self.levels)


def _files(cases: Iterable[Outcome]) -> frozenset[str]:
    """The blocks and units whose texts stand in the plans of some cases."""
    return frozenset().union(*(gist.files for gist in _gists(cases)))


def _gists(cases: Iterable[Outcome]) -> tuple[Gist, ...]:
    return tuple(case.gist for case in cases if case.gist is not None)

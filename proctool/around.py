"""What is found around the cases: at the heads of procedures, in units, over the whole library."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, replace
from datetime import date

from proctool.casework import examined_units
from proctool.model.finding import Finding
from proctool.model.procedure import LibraryFile, Procedure
from proctool.resolve.units import Units
from proctool.results import Case
from proctool.rules.deviations import apply, unused, valid
from proctool.rules.levels import Levels
from proctool.rules.rule import LibrarySubject, ProcedureSubject, Rule
from proctool.rules.run import over_library, over_procedure


@dataclass(frozen=True, slots=True)
class Around:
    """A library on one day, without its cases."""

    library: LibraryFile | None
    procedures: ReadOnly[str, Procedure]
    units: Units
    levels: Levels
    house: ReadOnly[str, Rule]
    """The company's own rules by id."""
    today: date

    def head(self, written: Procedure, cases: Iterable[Case], *, whole: bool) -> tuple[Finding, ...]:
        """What is wrong with a procedure for all its units, and with its deviations.

        `whole` says that all its cases are there: only then can a deviation be told to be used in none.
        """
        own = [case for case in cases if case.procedure == written.name]
        kept, faults = valid(written.deviations, self.today, self.house)
        found: tuple[Finding, ...] = ()
        if self.library is not None:
            plans = tuple(case.plan for case in own if case.plan is not None)
            found = over_procedure(ProcedureSubject(written, self.library, plans, self.today), self.levels)
        applied = apply(found, kept)
        if whole:
            used = applied.used.union(*(case.used for case in own))
            faults = (*faults, *unused(kept, used, self.levels))
        misfits = self.units.fitting(written)[1]
        return (*misfits, *applied.findings, *(replace(fault, procedure=written.name) for fault in faults))

    def of_units(self, cases: Iterable[Case], names: Iterable[str]) -> tuple[Finding, ...]:
        """What the rules over units find in some units."""
        units = (self.units.whole[name] for name in names)
        return examined_units(cases, units, self.procedures, self.levels)

    def of_library(self, cases: Sequence[Case], *, readable: bool) -> tuple[Finding, ...]:
        """What the rules over the whole library find, all its cases given; `readable` if every file is."""
        if self.library is None:
            return ()
        plans = tuple(case.plan for case in cases if case.plan is not None)
        subject = LibrarySubject(
            self.library,
            tuple(self.procedures.values()),
            plans,
            tuple(self.units.whole.values()),
            readable and len(plans) == len(cases),
        )
        return over_library(subject, self.levels)

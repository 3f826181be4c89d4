"""The one file that PATH named, and what a check then keeps to."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from proctool.model.procedure import Procedure


@dataclass(frozen=True, slots=True)
class Focus:
    """A file of a library, or None for all of it; and the files of its procedures and units."""

    file: str | None
    procedures: frozenset[str]
    units: frozenset[str]

    @property
    def on_unit(self) -> bool:
        """Whether it is the file of a unit."""
        return self.file in self.units

    def on_case(self, procedure: Procedure, unit: str) -> bool:
        """Whether it is the file of this procedure or of a unit; any other concerns every case."""
        return self.file not in self.procedures | self.units or self.file in {procedure.span.file, unit}

    def on_head(self, procedure: Procedure) -> bool:
        """Whether it is the file of this procedure, or one that is no procedure's."""
        return self.file not in self.procedures - {procedure.span.file}


@dataclass(frozen=True, slots=True)
class Scope:
    """What of a library is asked for, how far each proof may go, and the day that decides on deviations."""

    procedure: str | None
    """Only this one, or all."""
    unit: str | None
    """Only this one, or all."""
    budget: int
    day: date

    @property
    def all(self) -> bool:
        """Whether every case is asked for."""
        return self.procedure is None and self.unit is None

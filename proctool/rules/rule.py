"""A rule: its id, level, page and words, and, unless the proof or the reader of files finds it, its check."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date

from proctool.model.document import Document
from proctool.model.finding import Level, Related
from proctool.model.gist import Gist
from proctool.model.plan import Plan
from proctool.model.procedure import LibraryFile, Procedure
from proctool.model.span import Span
from proctool.model.unit import Unit
from proctool.model.verdict import Proof
from proctool.network.reach import Network
from proctool.rules.language.texts import TextSubject


@dataclass(frozen=True, slots=True)
class Seen:
    """What a check saw: a place, what is wrong there, and what to do about it."""

    span: Span
    message: str
    help: str = ""
    step: str | None = None
    part: str | None = None
    energies: tuple[str, ...] = ()
    related: tuple[Related, ...] = ()


@dataclass(frozen=True, slots=True)
class PlanSubject:
    """A procedure on a unit, proven, as rules over plans look at it."""

    plan: Plan
    proof: Proof
    network: Network


@dataclass(frozen=True, slots=True)
class UseSubject:
    """A procedure on a unit with what the library says, for what is told once and not for each unit."""

    plan: Plan
    library: LibraryFile


@dataclass(frozen=True, slots=True)
class UnitSubject:
    """A unit as rules over units look at it."""

    unit: Unit
    network: Network
    opened: frozenset[str]
    """Parts that some procedure of the library opens on it."""


@dataclass(frozen=True, slots=True)
class ProcedureSubject:
    """A procedure as written, once for all its units, as rules over its head look at it."""

    procedure: Procedure
    library: LibraryFile
    cases: tuple[Gist, ...]
    """On each of its units that was asked for and could be resolved."""
    today: date


@dataclass(frozen=True, slots=True)
class LibrarySubject:
    """A whole library, as rules look at it that ask what is missing or used nowhere."""

    library: LibraryFile
    procedures: tuple[Procedure, ...]
    cases: tuple[Gist, ...]
    """Of every case that could be resolved."""
    units: tuple[Unit, ...]
    whole: bool
    """Whether every file could be read and every case resolved: else what seems unused may be used there."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule. A `never` rule takes no deviation and no other level.

    A rule that the proof settles has a `message` and a `help` with `{part}` and `{energies}`; any other has
    a check, or none where the reader of files or the resolver finds it.
    """

    id: str
    page: str | None
    """The docstring of its module; `page.parse` reads it."""
    level: Level = Level.ERROR
    never: bool = False
    of_proof: bool = False
    """Whether breaking it at its own level makes the verdict unsafe."""
    message: str = ""
    help: str = ""
    plan: Callable[[PlanSubject], Iterable[Seen]] | None = None
    use: Callable[[UseSubject], Iterable[Seen]] | None = None
    unit: Callable[[UnitSubject], Iterable[Seen]] | None = None
    procedure: Callable[[ProcedureSubject], Iterable[Seen]] | None = None
    library: Callable[[LibrarySubject], Iterable[Seen]] | None = None
    text: Callable[[TextSubject], Iterable[Seen]] | None = None
    document: Callable[[Document], Iterable[Seen]] | None = None

    @property
    def pack(self) -> str:
        """The part of its id before the stroke."""
        return self.id.partition("/")[0]

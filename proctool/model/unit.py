"""A unit model as an energy network: energies, parts, and the lines that join them."""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.model.document import Mapping, Scalar
from proctool.model.span import Span
from proctool.model.words import FLUIDS, HOLDERS, Control, Depth, Device, Form, Lock, Position, Role


@dataclass(frozen=True, slots=True)
class Danger:
    """A safety message: signal word, what the hazard is, what harm it does, how to avoid it."""

    word: str
    hazard: str
    harm: str
    avoid: str
    span: Span
    avoid_span: Span | None = None
    """Where `avoid` stands."""


@dataclass(frozen=True, slots=True)
class Energy:
    """One energy of a unit."""

    id: str
    form: Form
    span: Span
    name: str
    """How texts call it; the id with spaces where the file gives no name."""
    normal: str = ""
    """Size in normal service, as written."""
    safe: str = ""
    """What a gauge must show for zero, as written."""
    depth: Depth = Depth.SINGLE
    brought: bool = False
    """The technician brings it in; it is not there at the start."""
    medium: str = ""
    """What carries it, where what touches that must be approved for it."""
    warning: Danger | None = None

    @property
    def fluid(self) -> bool:
        """Whether it leaves through a way out."""
        return self.form in FLUIDS


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a unit. Properties that the proof does not read stay in `properties`."""

    id: str
    role: Role
    span: Span
    name: str
    properties: Mapping
    """Everything the file says of the part, free properties included."""
    tag: str | None = None
    device: Device | None = None
    lock: Lock = Lock.HASP
    throttles: bool = False
    exclusive_control: bool = False
    site: bool = False
    """Operated by the site: not the unit's own."""
    normal: Position = Position.ON
    """Normal position of an isolator."""
    normally_open: bool = False
    """Normal state of a vent."""
    runs: str | None = None
    """The energy that drives it."""
    normally_running: bool = False
    at: str | None = None
    """What a gauge reads: a holder's id, or `any` for a portable tester."""
    energy: str | None = None
    """The energy a gauge reads."""
    usual: str | None = None
    """The usual range of a gauge, as written."""
    feeds_back: bool = True
    """Whether an outlet counts as a source."""
    near: tuple[str, ...] = ()
    traps_air: bool = False
    seal: str | None = None
    tighten: str | None = None
    covered: bool = False
    """`cover: true`: it stands behind a cover that comes off before a tester reaches it."""
    keeps: frozenset[str] = frozenset()
    """Fluids that leave it only by `discharge`."""
    rebuilds: frozenset[str] = frozenset()
    """Energies whose pressure comes back when nothing lets it out."""
    piped: bool = False
    end: bool = False

    @property
    def holder(self) -> bool:
        """Whether it holds energy."""
        return self.role in HOLDERS

    @property
    def label(self) -> str:
        """Name and tag, as texts show the part."""
        return f"{self.name} {self.tag}" if self.tag else self.name

    def text(self, name: str) -> str | None:
        """A property as written, or None."""
        value = self.properties.get(name)
        return value.text if isinstance(value, Scalar) else None


@dataclass(frozen=True, slots=True)
class Line:
    """An ordered path of parts along which one or more energies run."""

    id: str
    energies: tuple[str, ...]
    path: tuple[str, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Checked:
    """Who walked the unit with its file, when, against which drawing, for which serial numbers."""

    by: str = ""
    date: str = ""
    drawing: str = ""
    serials: str = ""


@dataclass(frozen=True, slots=True)
class Unit:
    """A whole unit, its bases already taken over. Maps keep the order of the files."""

    id: str
    title: str
    file: str
    span: Span
    energies: ReadOnly[str, Energy]
    parts: ReadOnly[str, Part]
    lines: ReadOnly[str, Line]
    facts: ReadOnly[str, str]
    family: str | None = None
    control: Control = Control.REQUIRED
    checked: Checked | None = None

    def tagged(self, tag: str) -> Part | None:
        """The part that carries a tag."""
        return next((part for part in self.parts.values() if part.tag == tag), None)

    def gauges_next_to(self, part: str) -> tuple[Part, ...]:
        """Gauges that read `at` a part."""
        return tuple(p for p in self.parts.values() if p.role is Role.GAUGE and p.at == part)

"""What a manual shows, decided whole: the templates only set it out.

Strings are plain, but for `what` of an entry and those that `proctool.render.item` names: CommonMark.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from proctool.model.plan import Revision
from proctool.render.grid import Due, Pair, Sheet
from proctool.render.item import Blank, Hazard, Section
from proctool.render.lockout import Card
from proctool.render.pictures.figure import Figure
from proctool.render.pictures.picture import Picture


class Trust(StrEnum):
    """How far a manual may be trusted."""

    PROVEN = "proven"
    DEVIATIONS = "deviations"
    DRAFT = "draft"


@dataclass(frozen=True, slots=True)
class Listing:
    """A label and its items; `none` is what stands there without items."""

    label: str
    items: tuple[str, ...]
    none: str


@dataclass(frozen=True, slots=True)
class Deviated:
    """A finding that a valid deviation covers, and what the deviation records."""

    message: str
    rule: str
    step: str | None
    """Path id of the step; None where it is the procedure's."""
    why: str
    instead: str
    by: str
    until: str


@dataclass(frozen=True, slots=True)
class Departure:
    """A recorded deviation, as shown."""

    place: str
    """`Step 12`, or the whole procedure."""
    target: str
    """Anchor of the step; else empty."""
    message: str
    entries: tuple[Pair, ...]


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the record sheet."""

    number: str
    what: str
    must: str
    """What it must be; empty where the step says it."""
    blanks: tuple[Blank, ...]


@dataclass(frozen=True, slots=True)
class Record:
    """The record sheet: what this procedure asks to be written down, in its order."""

    readings: tuple[Entry, ...]
    leaks: tuple[Entry, ...]
    holds: tuple[Entry, ...]
    fitted: tuple[str, ...]
    failures: bool
    """Whether a check can fail, so that what was done then is written down."""
    people: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Isolation:
    """One row of the energy isolation table: one energy at one isolator."""

    energy: str
    size: str
    isolator: str
    place: str
    lock: str
    relieved: str
    verified: str
    normal: str
    zero: str
    part: str = ""
    """Id of the isolator; empty where there is none."""


@dataclass(frozen=True, slots=True)
class Held:
    """An energy that a part can hold: their ids and their names."""

    part: str
    energy: str
    label: str
    name: str


@dataclass(frozen=True, slots=True)
class Screen:
    """What the scripts of the page need besides what it shows."""

    procedure: str
    digest: str
    """What is kept on a device belongs to this plan and verdict alone."""
    measures: tuple[tuple[str, ...], ...]
    """Measures of one kind, where more than one is shown."""
    diagram: Picture
    """The energy diagram with the signs of what each part holds, all hidden."""
    held: tuple[Held, ...]
    """What the letters of a moment stand for."""


@dataclass(frozen=True, slots=True)
class Manual:
    """One procedure for one unit, as a technician reads it."""

    language: str
    name: str
    """The title of the file: what it is for, which unit, its number."""
    title: str
    unit: str
    unit_title: str
    document: str
    """Its number; where it has none, procedure and unit."""
    revision: str
    library: str
    trust: Trust
    mark: str
    """Printed on every page; empty for a proven manual without deviations."""
    named: str
    """Where it deviates and until when, printed on every page; empty where it does not."""
    verdict: str
    compare: str
    identity: tuple[Pair, ...]
    hazards: tuple[Hazard, ...]
    unwarned: str
    """Energies without a warning; else empty."""
    untouched: str
    """Energies that stay in the unit and that no step comes near; else empty."""
    departures: tuple[Departure, ...]
    isolation: tuple[Isolation, ...]
    live: tuple[str, ...]
    live_lead: str
    diagram: Figure
    """The energy diagram of the unit."""
    overview: tuple[Figure, ...]
    """The order of the steps, and what the parts hold after each; empty without steps."""
    found: tuple[str, ...]
    left: tuple[str, ...]
    due: tuple[Due, ...]
    sheets: tuple[Sheet, ...]
    """The tables, those by which the work is due first."""
    wanted: tuple[Listing, ...]
    legend: tuple[Pair, ...]
    sections: tuple[Section, ...]
    not_zero: tuple[str, ...]
    """Empty where nothing is brought to zero."""
    cautions: tuple[str, ...]
    uncovered: tuple[str, ...]
    lowered: tuple[str, ...]
    """Rules whose level the library lowered."""
    record: Record
    revisions: tuple[Revision, ...]
    screen: Screen
    card: Card
    """What the lockout card says besides."""

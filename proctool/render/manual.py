"""What a manual shows, decided whole: the templates only set it out.

Strings named `text`, `hazard`, `harm`, `avoid` and the items of `notes` are CommonMark as the authors wrote
it; all other strings are plain.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from proctool.model.plan import Picture, Revision


class Trust(StrEnum):
    """How far a manual may be trusted."""

    PROVEN = "proven"
    DEVIATIONS = "deviations"
    DRAFT = "draft"


@dataclass(frozen=True, slots=True)
class Hazard:
    """A safety message: signal word, hazard, harm, how to avoid it."""

    word: str
    """Upper case."""
    kind: str
    """`danger`, `warning`, `caution` or `notice`: how it is set out."""
    triangle: bool
    """The safety alert symbol: never on a NOTICE."""
    hazard: str
    harm: str
    avoid: str


@dataclass(frozen=True, slots=True)
class Pair:
    """A label and what it says."""

    label: str
    value: str


@dataclass(frozen=True, slots=True)
class Listing:
    """A label and its items; `none` is what stands there without items."""

    label: str
    items: tuple[str, ...]
    none: str


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


@dataclass(frozen=True, slots=True)
class State:
    """What the worst case of one energy is after a step."""

    energy: str
    charge: str
    """`live`, `trapped` or `zero`."""
    mark: str
    """A sign that tells the charges apart without colour."""
    where: str
    """The parts, where not all are alike; else empty."""
    changed: bool
    """Whether this differs from what the step before it showed."""


@dataclass(frozen=True, slots=True)
class Failure:
    """What to do when a check fails."""

    lead: str
    sections: tuple[Section, ...]
    """The steps to do then; empty where there are none, or where they are written out elsewhere."""
    ending: str
    """How it ends, in our words."""
    target: str
    """Anchor of the step gone back to; else empty."""
    text: str
    """What the author says to do where the job stops; CommonMark, may be empty."""
    stops: bool
    """Whether the job ends there."""
    again: str = ""
    """Which steps are not repeated after going back; else empty."""
    refers: str = ""
    """Anchor of the steps to do, where they are written out elsewhere."""
    then: Failure | None = None
    """What follows when going back did not help."""


@dataclass(frozen=True, slots=True)
class Item:
    """One step as shown."""

    anchor: str
    number: str
    label: str
    """`Check`, `Read`, `Wait` or empty."""
    text: str
    hazards: tuple[Hazard, ...]
    needs: tuple[str, ...]
    notes: tuple[str, ...]
    figure: Picture | None
    facts: tuple[Pair, ...]
    """How long, within which limits, until when."""
    blanks: tuple[str, ...]
    """Labels of the blanks to fill in."""
    hold: str
    """Who signs before work goes on; else empty."""
    states: tuple[State, ...]
    failure: Failure | None
    order: str
    """What order it is free of, where its section does not say so; else empty."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading inside the steps."""

    level: int
    text: str


@dataclass(frozen=True, slots=True)
class Section:
    """Steps under the same headings."""

    headings: tuple[Heading, ...]
    """Those that are new here."""
    order: str
    """Which steps are free of an order; else empty."""
    free: bool
    """Whether its steps have no order among themselves, or against those of another section."""
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Manual:
    """One procedure for one unit, as a technician reads it."""

    language: str
    title: str
    unit: str
    unit_title: str
    document: str
    revision: str
    library: str
    trust: Trust
    mark: str
    """Printed on every page; empty for a proven manual."""
    verdict: str
    compare: str
    identity: tuple[Pair, ...]
    hazards: tuple[Hazard, ...]
    unwarned: str
    """Energies without a warning; else empty."""
    isolation: tuple[Isolation, ...]
    live: tuple[str, ...]
    live_lead: str
    found: tuple[str, ...]
    left: tuple[str, ...]
    wanted: tuple[Listing, ...]
    legend: tuple[Pair, ...]
    sections: tuple[Section, ...]
    not_zero: tuple[str, ...]
    cautions: tuple[str, ...]
    uncovered: tuple[str, ...]
    revisions: tuple[Revision, ...]

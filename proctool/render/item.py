"""One step of a manual as shown, and the sections that steps stand in.

Strings named `text`, `hazard`, `harm`, `avoid` and the items of `notes` are CommonMark as the authors wrote
it; all other strings are plain.
"""

from __future__ import annotations

from dataclasses import dataclass

from proctool.model.plan import Picture
from proctool.render.grid import Pair


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
class Scale:
    """A measure that a reading may be written in, and what it must lie in, as plain decimals."""

    measure: str
    low: str
    """Empty for an open end."""
    high: str


@dataclass(frozen=True, slots=True)
class Blank:
    """A field to fill in by hand."""

    label: str
    measure: str = ""
    """The measure of what is written there; empty for what has none."""
    scales: tuple[Scale, ...] = ()
    """The measures it may be read in, that of the library first; empty for what is no reading."""
    choices: tuple[str, ...] = ()
    """What is chosen there instead, the one that passes first; empty for what is written."""


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
class Moment:
    """What the parts of the diagram may hold around a step: a letter for each (part, energy), in its order.

    `l` live, `m` may be live, `t` trapped, `z` zero.
    """

    before: str
    after: str
    parts: tuple[str, ...]
    """The parts that the step acts on."""
    once: bool
    """Whether it is not done again after going back."""


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
    blanks: tuple[Blank, ...]
    hold: str
    """Who signs before work goes on; else empty."""
    states: tuple[State, ...]
    failure: Failure | None
    order: str
    """What order it is free of, where its section does not say so; else empty."""
    moment: Moment


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
    undone: tuple[str, ...] = ()
    """Anchors of the steps that are done again after going back."""

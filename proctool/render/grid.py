"""Tables as a manual shows them."""

from __future__ import annotations

from dataclasses import dataclass

from proctool.render.pictures.figure import Figure


@dataclass(frozen=True, slots=True)
class Pair:
    """A label and what it says."""

    label: str
    value: str


@dataclass(frozen=True, slots=True)
class Due:
    """When the work is due: in words, or by a table."""

    text: str
    target: str = ""
    """Anchor of the table; empty where there is none."""
    how: str = ""
    """How to read the table."""


@dataclass(frozen=True, slots=True)
class Head:
    """The head of neighbouring columns of a grid, and the measure of each; empty for a bare number."""

    title: str
    measures: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Grid:
    """A table of numbers."""

    caption: str
    heads: tuple[Head, ...]
    rows: tuple[tuple[str, ...], ...]
    """A cell for each column."""
    leads: frozenset[int]
    """Which columns name the row: those of the readings."""
    words: frozenset[int]
    """Which columns hold words about numbers."""

    @property
    def width(self) -> int:
        """How many columns it has."""
        return sum(len(head.measures) for head in self.heads)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table of the procedure, as shown."""

    anchor: str
    condition: str
    """Under what condition its readings mean something; empty where it does not say."""
    how: tuple[str, ...]
    """How it is read, sentence by sentence, as far as it is not told where the work is due."""
    values: Grid
    """Its caption is the title of the table."""
    bands: Grid | None
    """What the answer's gauge says in each row; None where nothing is due by it."""
    meanings: tuple[Pair, ...]
    """What the words of the bands ask for."""
    errors: tuple[str, ...]
    """How far off the gauges can be, and what the table does about it."""
    plots: tuple[Figure, ...] = ()
    """Its bands drawn, a picture for each answer by which the work is due."""

"""Tables as a manual shows them."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass

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
class Dial:
    """A reading that is looked up in a due table."""

    label: str
    measure: str
    low: str
    """Where the scale of its gauge starts, as a plain decimal; empty where that is not known."""
    high: str


@dataclass(frozen=True, slots=True)
class Limit:
    """What an answer of a due table says in one row, as plain decimals: the edges of its bands as printed.

    Going from due to not due: due up to `sure`, cannot tell up to `open`, soon up to `soon`. Empty where
    there is no such band.
    """

    sure: str
    open: str
    soon: str


@dataclass(frozen=True, slots=True)
class Lookup:
    """A due table as a script reads it."""

    readings: tuple[Dial, ...]
    answers: tuple[Dial, ...]
    less: tuple[bool, ...]
    """For each answer, whether the work is due at less; else at more."""
    nearby: tuple[tuple[str, ...], ...]
    """For each answer and reading, the row for what lies between two: `up`, `down`; empty: take as due."""
    rows: tuple[tuple[tuple[str, ...], tuple[Limit, ...]], ...]
    """Readings as plain decimals, and what each answer says there."""

    @property
    def text(self) -> str:
        """All of it as JSON."""
        return json.dumps(asdict(self), ensure_ascii=False, separators=(",", ":"))


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
    lookup: Lookup | None = None
    """The table as a script reads it; None where nothing is due by it."""
    plots: tuple[Figure, ...] = ()
    """Its bands drawn, a picture for each answer by which the work is due."""

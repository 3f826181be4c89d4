"""A picture before it is text: shapes and labels whose places are decided.

All lengths are in the picture's own units, one CSS pixel where it is shown at its own width. `x` runs to the
right and `y` downwards.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import floor
from typing import Literal, TypeAlias

from proctool.render.pictures.text import LINE, measure

PAGE = 680.0
"""Width of a picture on a sheet of A4 or on a wide screen."""
PHONE = 284.0
"""Width of a picture for phones. One that is 360 px wide shows it a sixth larger, so that it can be read."""

_ASCENT, _DESCENT = 0.95, 0.25
"""How far letters reach above and below their base line, in font sizes."""

Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle by its corners."""

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True, slots=True)
class Label:
    """One line of text; `y` is its base line."""

    x: float
    y: float
    text: str
    size: float
    anchor: Anchor = "middle"
    bold: bool = False
    paint: str = "text"

    @property
    def box(self) -> Box:
        """The most room it takes."""
        width = measure(self.text, self.size, bold=self.bold)
        left = self.x - {"start": 0, "middle": width / 2, "end": width}[self.anchor]
        return Box(left, self.y - _ASCENT * self.size, left + width, self.y + _DESCENT * self.size)


@dataclass(frozen=True, slots=True)
class Path:
    """Lines as SVG path data, in steps of a tenth."""

    data: str
    paint: str


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle; `round` is the radius of its corners."""

    x: float
    y: float
    width: float
    height: float
    paint: str
    round: float = 0


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle."""

    x: float
    y: float
    radius: float
    paint: str


@dataclass(frozen=True, slots=True)
class Group:
    """Marks that belong together; `data` says what they stand for, for scripts."""

    name: str
    marks: tuple[Mark, ...]
    data: tuple[tuple[str, str], ...] = ()
    hidden: bool = False
    """Not shown until a script asks for it."""


Mark: TypeAlias = Label | Path | Rect | Circle | Group


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture and its alternative in words."""

    kind: str
    title: str
    told: str
    """One or two sentences: what it shows and how it is read."""
    entries: tuple[str, ...]
    """All that it shows, as a list."""
    width: float
    height: float
    marks: tuple[Mark, ...]


def every(marks: Iterable[Mark]) -> Iterator[Mark]:
    """All marks, those in groups too."""
    for mark in marks:
        yield mark
        if isinstance(mark, Group):
            yield from every(mark.marks)


def path(*points: tuple[float, float], closed: bool = False) -> str:
    """Path data of a line through some points."""
    steps = " ".join(f"{'ML'[n > 0]}{x:.1f} {y:.1f}" for n, (x, y) in enumerate(points))
    return steps + (" Z" if closed else "")


def lines(
    texts: Iterable[str],
    x: float,
    top: float,
    size: float,
    *,
    anchor: Anchor = "middle",
    bold: bool = False,
    paint: str = "text",
) -> tuple[Label, ...]:
    """Lines of text under one another, the first with its top at `top`."""
    return tuple(
        Label(x, top + _ASCENT * size + n * LINE * size, text, size, anchor, bold, paint)
        for n, text in enumerate(texts)
    )


def tall(count: int, size: float) -> float:
    """How high some lines of text stand."""
    return (_ASCENT + _DESCENT + (count - 1) * LINE) * size if count else 0


def hatching(box: Box, step: float, *, crossed: bool = False) -> str:
    """Path data of slanted lines that fill a rectangle, at 45 degrees; crossed ones both ways.

    The lines lie on one grid for the whole picture, so that hatched neighbours fit together.
    """
    found: list[str] = []
    for k in _multiples(step, box.left + box.top, box.right + box.bottom):
        start, end = max(box.left, k - box.bottom), min(box.right, k - box.top)
        found.append(path((start, k - start), (end, k - end)))
    for k in _multiples(step, box.left - box.bottom, box.right - box.top) if crossed else ():
        start, end = max(box.left, k + box.top), min(box.right, k + box.bottom)
        found.append(path((start, start - k), (end, end - k)))
    return " ".join(found)


def _multiples(step: float, low: float, high: float) -> Iterator[float]:
    """The multiples of a step inside a stretch, its ends left out."""
    number = floor(low / step) + 1
    while number * step < high:
        yield number * step
        number += 1

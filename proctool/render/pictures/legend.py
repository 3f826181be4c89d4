"""Under an energy diagram: portable testers, what its lines, signs and symbols mean."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial
from typing import TypeAlias

from proctool.model.unit import Part
from proctool.model.words import Role
from proctool.render.pictures import symbols
from proctool.render.pictures.cells import SMALL, Pen
from proctool.render.pictures.overlay import MEANINGS, State, mark
from proctool.render.pictures.picture import Group, Mark, Path, Rect, lines, path, tall
from proctool.render.pictures.text import measure, wrap
from proctool.render.speech import fixed, say

_SIGN = 32.0
"""Room for a sign, its text beside it."""
_BETWEEN = 18.0

Draw: TypeAlias = Callable[[float, float], tuple[Mark, ...]]
"""Draws a sign around a place."""
Strip: TypeAlias = tuple[tuple[Mark, ...], float]
"""Marks, and where they end below."""


def testers(pen: Pen, width: float, at: float) -> Strip:
    """The parts that stand on no line and hang on none, as they are carried to the unit."""
    if not pen.drawn.apart:
        return (), at
    at += 20
    title = say("Carried to the unit")
    marks: list[Mark] = list(lines((title,), 4, at, SMALL, anchor="start", bold=True, paint="text-soft"))
    at += tall(1, SMALL) + 2
    across = max(1, int(width // 200))
    room = width / across - 8
    for start in range(0, len(pen.drawn.apart), across):
        made = [
            pen.apart(name, 4 + n * (room + 8), at, room)
            for n, name in enumerate(pen.drawn.apart[start : start + across])
        ]
        marks += [group for group, _ in made]
        at += max(height for _, height in made)
    return tuple(marks), at


def legend(pen: Pen, width: float, at: float) -> Strip:
    """What the line styles, the signs and the symbols mean, as far as they are used."""
    at += 18
    marks: list[Mark] = [Path(path((0, at), (width, at)), "grid")]
    at += 8
    x = 4.0
    row = tall(1, SMALL) + 12
    for draw, text in _keys(pen):
        wide = _SIGN + measure(text, SMALL)
        if x > 4 and x + wide > width:
            x, at = 4.0, at + row
        texts = wrap(text, width - 8 - _SIGN, SMALL)
        marks += draw(x + 13, at + row / 2 - 2)
        marks += lines(texts, x + _SIGN, at + (row - tall(1, SMALL)) / 2 - 2, SMALL, anchor="start")
        at += tall(len(texts), SMALL) - tall(1, SMALL)
        x += wide + _BETWEEN
    return tuple(marks), at + row


def _keys(pen: Pen) -> Iterator[tuple[Draw, str]]:
    """How to draw each sign around a place, and what it means."""
    for energy in pen.unit.energies.values():
        yield _sample(pen.paints[energy.id]), f"{energy.name} {energy.normal}".strip()
    if pen.overlay:
        yield from ((partial(_sign, state), say(MEANINGS[state])) for state in State)
    parts = pen.unit.parts.values()
    for said, fits in _SYMBOLS.items():
        part = next((part for part in parts if fits(part)), None)
        if part is not None:
            yield partial(symbols.symbol, part, off=False), say(said)
    if any(part.role is Role.STORE for part in parts):
        yield _store, say("keeps energy of its own")


def _sample(paint: str) -> Draw:
    return lambda x, y: (Path(path((x - 13, y), (x + 13, y)), paint),)


def _sign(state: State, x: float, y: float) -> tuple[Mark, ...]:
    return (Group("sign", mark(state, x, y)),)


def _store(x: float, y: float) -> tuple[Mark, ...]:
    return Rect(x - 12, y - 8, 24, 16, "body", 5), Rect(x - 9.5, y - 5.5, 19, 11, "stroke-soft", 3)


_SYMBOLS: Mapping[str, Callable[[Part], bool]] = {
    fixed("feeds energy without end"): lambda part: part.role is Role.SOURCE,
    fixed("leaves the unit"): lambda part: part.role is Role.OUTLET and not part.feeds_back,
    fixed("leaves the unit, can feed back"): lambda part: part.role is Role.OUTLET and part.feeds_back,
    fixed("check valve: may stick or leak"): lambda part: part.role is Role.CHECK_VALVE,
    fixed("may block"): lambda part: part.role is Role.RESTRICTION,
}
"""Symbols whose name alone does not say what they are."""

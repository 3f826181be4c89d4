"""A picture as a page shows it: wide for paper and large screens, narrow for phones, with its words."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from proctool.render.pictures.picture import PAGE, PHONE, Picture


@dataclass(frozen=True, slots=True)
class Figure:
    """One picture in two widths. Both have the same title and the same words."""

    wide: Picture
    narrow: Picture
    listed: bool
    """Whether its entries stand beside it; they do not where the page says the same at another place."""


def figure(draw: Callable[[float], Picture], *, listed: bool = True) -> Figure:
    """A picture in both widths; `draw` makes it as wide as it is told."""
    return Figure(draw(PAGE), draw(PHONE), listed)

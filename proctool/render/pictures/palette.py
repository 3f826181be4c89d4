"""The paints of all pictures: a colour never stands alone, and each paint has a light and a dark face.

A picture names its paints by class. Each shape also carries the light colours as attributes, so that a reader
that knows no style sheet (a PDF writer, an image viewer) draws it whole; `stylesheet` lets a page turn dark.
There are no style attributes, which a strict content policy forbids.

Meanings differ by pattern and by lightness. Both are tested, the lightness with the colours as people with
protanopia, deuteranopia and tritanopia see them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

LIGHT: Mapping[str, str] = {
    "paper": "#ffffff",
    "ink": "#1b2126",
    "soft": "#47535c",
    "edge": "#5b6873",
    "line": "#c3ccd3",
    "tint": "#f1f4f6",
    "live": "#9b2423",
    "trapped": "#e0a33c",
    "zero": "#1a6340",
    "due": "#9b2423",
    "unsure": "#c98f5e",
    "soon": "#f3d58c",
    "clear": "#ffffff",
    "hatch": "#1b2126",
    "on-dark": "#ffffff",
}
"""Colours on white paper and light screens."""
DARK: Mapping[str, str] = {
    "paper": "#14181c",
    "ink": "#eceff1",
    "soft": "#b4bfc7",
    "edge": "#8b99a5",
    "line": "#3a444c",
    "tint": "#1d2328",
    "live": "#ff9c94",
    "trapped": "#8a5a10",
    "zero": "#84d9a9",
    "due": "#ff9c94",
    "unsure": "#a5622b",
    "soon": "#5c4513",
    "clear": "#14181c",
    "hatch": "#eceff1",
    "on-dark": "#14181c",
}
"""The same on a dark screen."""

PREFIX = "pic-"
"""Before each class in a picture, so that no rule of the page around it is meant for something inside."""

PATTERNS: Mapping[str, str] = {
    "live": "solid",
    "trapped": "slanted lines",
    "zero": "thin line",
    "due": "solid",
    "unsure": "crossed lines",
    "soon": "slanted lines",
    "clear": "empty",
}
"""How each meaning is told apart where there is no colour at all."""


@dataclass(frozen=True, slots=True)
class Paint:
    """How a shape is drawn: names of colours, or `none`."""

    fill: str = "none"
    stroke: str = "none"
    width: float = 0
    dash: str = ""


PAINTS: Mapping[str, Paint] = {
    "text": Paint("ink"),
    "text-soft": Paint("soft"),
    "text-on": Paint("on-dark"),
    "body": Paint("paper", "ink", 1.6),
    "body-soft": Paint("tint", "edge", 1.2),
    "solid": Paint("ink", "ink", 1.2),
    "stroke": Paint("none", "ink", 1.6),
    "stroke-soft": Paint("none", "edge", 1.2),
    "frame": Paint("none", "edge", 1.4, "6 4"),
    "grid": Paint("none", "line", 1),
    "hatch": Paint("none", "hatch", 1),
    "ring": Paint("paper", "ink", 1.4),
    "live": Paint("live", "live", 1),
    "bar-live": Paint("live"),
    "bar-trapped": Paint("trapped"),
    "bar-zero": Paint("zero"),
    "due": Paint("due"),
    "unsure": Paint("unsure"),
    "soon": Paint("soon"),
    "clear": Paint("clear"),
    "wire-1": Paint("none", "ink", 2.2),
    "wire-2": Paint("none", "ink", 2.2, "9 4"),
    "wire-3": Paint("none", "ink", 2.2, "2.5 3"),
    "wire-4": Paint("none", "ink", 2.2, "9 3 2.5 3"),
    "wire-5": Paint("none", "ink", 1.1),
    "wire-6": Paint("none", "ink", 1.1, "5 3"),
    "wire-7": Paint("none", "ink", 1.1, "1.5 2.5"),
    "wire-8": Paint("none", "ink", 1.1, "9 2.5 1.5 2.5"),
    "wire-9": Paint("none", "ink", 3.4, "1.5 3"),
    "wire-10": Paint("none", "ink", 3.4, "12 6"),
    "wire-11": Paint("none", "ink", 2.2, "8 2.5 2.5 2.5 2.5 2.5"),
}
"""Every paint by its class."""
WIRES = tuple(name for name in PAINTS if name.startswith("wire-"))
"""Line styles that tell energies apart; one past the last starts again with the first."""


def attributes(paint: str) -> dict[str, str]:
    """The attributes that draw a paint in its light colours."""
    look = PAINTS[paint]
    found = {"class": f"{PREFIX}{paint}", "fill": LIGHT.get(look.fill, "none")}
    if look.stroke != "none":
        found |= {"stroke": LIGHT[look.stroke], "stroke-width": f"{look.width:g}"}
    if look.dash:
        found["stroke-dasharray"] = look.dash
    return found


_SIZE = ".picture { display: block; max-width: 100%; height: auto; margin: 0 auto; }"
_SHEET = ".picture { max-height: 235mm; break-inside: avoid; }"
"""No higher than a sheet of A4 leaves room for."""
PAPER = f"{_SIZE}\n{_SHEET}\n"
"""All the style that pictures need where pages are printed: their attributes hold the light colours."""


def stylesheet() -> str:
    """The style of pictures on screens, light, dark and printed from there; for the page's own style."""
    rules = [
        _SIZE,
        ".for-narrow .picture { width: 100%; max-width: 30rem; }",
        ".picture text { font-family: inherit; fill: var(--pic-ink); }",
        ".picture { " + _variables(LIGHT) + " }",
    ]
    for name, look in PAINTS.items():
        said = [f"fill: {_value(look.fill)};"]
        if look.stroke != "none":
            said.append(f"stroke: {_value(look.stroke)}; stroke-width: {look.width:g};")
        if look.dash:
            said.append(f"stroke-dasharray: {look.dash};")
        rules.append(f".picture .{PREFIX}{name} {{ {' '.join(said)} }}")
    rules += [
        "@media (prefers-color-scheme: dark) { .picture { " + _variables(DARK) + " } }",
        "@media print { .picture { print-color-adjust: exact; " + _variables(LIGHT) + f" }} {_SHEET} }}",
    ]
    return "\n".join(rules) + "\n"


def _variables(colours: Mapping[str, str]) -> str:
    return " ".join(f"--pic-{name}: {value};" for name, value in colours.items())


def _value(colour: str) -> str:
    return "none" if colour == "none" else f"var(--pic-{colour})"

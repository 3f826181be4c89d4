"""The same drawing in fewer bytes, for a page that carries its own style and goes to phones.

A picture of many steps is mostly path data and colours. On such a page the style gives the colours, and a
line is shorter told from where the one before it ended.
"""

from __future__ import annotations

import re

from markupsafe import Markup

_PAINTED = re.compile(r' (?:fill|stroke)="(?:#[0-9a-f]{6}|none)"')
_DATA = re.compile(r' d="([^"]*)"')
_STEP = re.compile(r"([A-Za-z])([^A-Za-z]*)")


def slim(svg: Markup) -> Markup:
    """A picture of ours without the colours that its classes have, its paths made short."""
    told = _DATA.sub(lambda found: f' d="{short(found[1])}"', _PAINTED.sub("", svg))
    return Markup(told)  # noqa: S704 - only what is in the picture already


def short(data: str) -> str:
    """Path data in relative steps; data with other commands than `M`, `L` and `Z` stays as it is.

    Places are in tenths, so that steps add up to where they went before, and exactly.
    """
    told: list[str] = []
    at = start = (0, 0)
    for command, rest in _STEP.findall(data):
        if command == "Z":
            told.append("z")
            at = start
            continue
        x, y = (round(float(number) * 10) for number in rest.split()) if command in "ML" else (0, 0)
        if command not in "ML" or not told and command != "M":
            return data
        told.append(_moved(command.lower(), x - at[0], y - at[1]) if told else _moved("M", x, y))
        at = (x, y)
        start = at if command == "M" else start
    return "".join(told)


def _moved(command: str, x: int, y: int) -> str:
    first, second = _tenths(x), _tenths(y)
    return f"{command}{first}{'' if second.startswith('-') else ' '}{second}"


def _tenths(number: int) -> str:
    """A number of tenths, as short as SVG 1.1 allows."""
    return f"{number / 10:g}".replace("0.", ".", 1) if -10 < number < 10 and number else f"{number / 10:g}"

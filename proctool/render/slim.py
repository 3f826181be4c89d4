"""The same drawing in fewer bytes, for a page that carries its own style and goes to phones.

A picture of many steps is mostly the same few attributes again. On such a page the style gives the colours
and strokes by class, the size and place of most texts are said once for all, and a line is shorter told from
where the one before it ended. What marks stand for is left out where no script asks for it.
"""

from __future__ import annotations

import re
from collections import Counter

from markupsafe import Markup

_PAINTED = re.compile(
    r' (?:(?:fill|stroke)="(?:#[0-9a-f]{6}|none)"|stroke-(?:width|dasharray)="[^"]*"|class="pic-text")'
)
_DATA = re.compile(r' d="([^"]*)"')
_GROUP = re.compile(r"</?g\b[^>]*>")
_UNASKED = re.compile(r' data-(?!part=|energy=|state=)[a-z]+="[^"]*"')
_STEP = re.compile(r"([A-Za-z])([^A-Za-z]*)")


def slim(svg: Markup) -> Markup:
    """A picture of ours without what the style says of its classes, its paths made short.

    One with hidden marks keeps its groups: a script finds by their part, energy and state what to show.
    """
    told = _DATA.sub(lambda found: f' d="{short(found[1])}"', _PAINTED.sub("", svg))
    for name in ("font-size", "text-anchor"):
        told = _once(name, told)
    told = (_UNASKED if ' display="none"' in told else _GROUP).sub("", told)
    return Markup(told)  # noqa: S704 - only what is in the picture already


def _once(name: str, svg: str) -> str:
    """What an attribute is in most texts said at the root, from which they have it."""
    said = re.compile(rf'(<text[^>]*) {name}="([^"]*)"')
    often = Counter(value for _, value in said.findall(svg)).most_common(1)
    if not often:
        return svg
    usual = often[0][0]
    told = said.sub(lambda found: found[1] if found[2] == usual else found[0], svg)
    return told.replace("<svg", f'<svg {name}="{usual}"', 1)


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
    if command == "l" and (not x or not y):
        return f"v{second}" if not x else f"h{first}"
    return f"{command}{first}{'' if second.startswith('-') else ' '}{second}"


def _tenths(number: int) -> str:
    """A number of tenths, as short as SVG 1.1 allows."""
    return f"{number / 10:g}".replace("0.", ".", 1) if -10 < number < 10 and number else f"{number / 10:g}"

"""The same drawing in fewer bytes: every line ends where it ended, and what has a class keeps its colour."""

from __future__ import annotations

import re

import pytest
from defusedxml.ElementTree import fromstring
from hypothesis import given
from hypothesis import strategies as st

from proctool.render.pictures.palette import PAINTS, attributes, stylesheet
from proctool.render.pictures.picture import path
from proctool.render.pictures.svg import svg
from proctool.render.slim import short, slim
from tests.render import kw4

SVG = "{http://www.w3.org/2000/svg}"
STRAIGHT = str.maketrans("HV", "LL")
PLACES = st.integers(-9999, 9999).map(lambda tenths: tenths / 10)
LINES = st.lists(
    st.tuples(st.lists(st.tuples(PLACES, PLACES), min_size=1, max_size=5), st.booleans()), min_size=1
)


def ends(data: str) -> list[tuple[str, float, float]]:
    """Every corner of a path, by the rules of SVG 1.1, 8.3."""
    x = y = 0.0
    start = (0.0, 0.0)
    found = []
    for command, rest in re.findall(r"([MmLlZzhv])([^MmLlZzhv]*)", data):
        if command in "Zz":
            x, y = start
        elif command in "hv":
            x, y = (x + float(rest), y) if command == "h" else (x, y + float(rest))
        else:
            dx, dy = (float(number) for number in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", rest))
            x, y = (dx, dy) if command in "ML" else (x + dx, y + dy)
            start = (x, y) if command in "Mm" else start
        found.append((command.upper().translate(STRAIGHT), round(x, 1) + 0.0, round(y, 1) + 0.0))
    return found


@given(LINES)
def test_every_line_ends_where_it_ended(drawn):
    data = " ".join(path(*points, closed=closed) for points, closed in drawn)
    assert ends(short(data)) == ends(data)


@pytest.mark.parametrize("data", ["M1 2 A3 3 0 0 1 4 5", "M1 2 C1 2 3 4 5 6", "L1 2"])
def test_other_commands_stay_as_they_are(data):
    assert short(data) == data


def text(drawn: str) -> list[tuple[str | None, ...]]:
    """All texts of a picture, each with the size and place that it has of its own or from the root."""
    root = fromstring(drawn)
    own, wanted = ("x", "y", "font-weight", "direction"), ("font-size", "text-anchor")
    return [
        (one.text, *map(one.get, own), *(one.get(name, root.get(name)) for name in wanted))
        for one in root.iter(f"{SVG}text")
    ]


def shapes(drawn: str) -> list[tuple[str, str | None]]:
    return [
        (one.tag, one.get("class"))
        for one in fromstring(drawn).iter()
        if one.tag in {f"{SVG}path", f"{SVG}rect", f"{SVG}circle"}
    ]


PICTURES = [kw4.view().diagram.wide, *(figure.narrow for figure in kw4.view().overview)]


@pytest.mark.parametrize("picture", PICTURES, ids=lambda picture: picture.kind)
def test_a_picture_keeps_all_that_its_style_does_not_say(picture):
    whole = svg(picture)
    made = slim(whole)
    assert len(made) < 0.7 * len(whole)
    assert text(made) == text(whole)
    assert shapes(made) == shapes(whole)
    assert "<g" not in made


@pytest.mark.parametrize("name", PAINTS)
def test_the_style_says_of_a_class_what_a_slim_picture_leaves_out(name):
    look, rule = attributes(name), re.search(rf"\.picture \.pic-{name} {{([^}}]*)}}", stylesheet())
    assert rule
    for said in ("stroke-width", "stroke-dasharray"):
        assert said not in look or f"{said}: {look[said]};" in rule[1]
    assert "fill: " in rule[1] and ("stroke: " in rule[1]) == ("stroke" in look)
    assert ".picture text { font-family: inherit; fill: var(--pic-ink); }" in stylesheet()


def test_a_picture_for_scripts_keeps_what_they_ask_for():
    whole = svg(kw4.view().screen.diagram)
    made = slim(whole)
    for asked in ("part", "energy", "state"):
        said = re.compile(rf' data-{asked}="[^"]*"')
        assert said.findall(made) == said.findall(whole) != []
    assert made.count("<g ") == whole.count("<g ")
    assert made.count('display="none"') == whole.count('display="none"') > 0
    assert "data-joins" in whole and "data-joins" not in made

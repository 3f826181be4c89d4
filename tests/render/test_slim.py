"""The same drawing in fewer bytes: every line ends where it ended, and what has a class keeps its colour."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proctool.render.pictures.palette import PAINTS, stylesheet
from proctool.render.pictures.picture import path
from proctool.render.pictures.svg import svg
from proctool.render.slim import short, slim
from tests.render import kw4

PLACES = st.integers(-9999, 9999).map(lambda tenths: tenths / 10)
LINES = st.lists(
    st.tuples(st.lists(st.tuples(PLACES, PLACES), min_size=1, max_size=5), st.booleans()), min_size=1
)


def ends(data: str) -> list[tuple[str, float, float]]:
    """Every corner of a path, by the rules of SVG 1.1, 8.3."""
    x = y = 0.0
    start = (0.0, 0.0)
    found = []
    for command, rest in re.findall(r"([MmLlZz])([^MmLlZz]*)", data):
        if command in "Zz":
            x, y = start
        else:
            dx, dy = (float(number) for number in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", rest))
            x, y = (dx, dy) if command in "ML" else (x + dx, y + dy)
            start = (x, y) if command in "Mm" else start
        found.append((command.upper(), round(x, 1) + 0.0, round(y, 1) + 0.0))
    return found


@given(LINES)
def test_every_line_ends_where_it_ended(drawn):
    data = " ".join(path(*points, closed=closed) for points, closed in drawn)
    assert ends(short(data)) == ends(data)


@pytest.mark.parametrize("data", ["M1 2 A3 3 0 0 1 4 5", "M1 2 C1 2 3 4 5 6", "L1 2"])
def test_other_commands_stay_as_they_are(data):
    assert short(data) == data


def test_a_picture_keeps_all_that_its_style_does_not_say():
    whole = svg(kw4.view().diagram.wide)
    made = slim(whole)
    assert len(made) < 0.85 * len(whole)
    assert re.sub(r"<[^>]*>", "", made) == re.sub(r"<[^>]*>", "", whole)
    assert made.count("<") == whole.count("<")
    for name in set(re.findall(r'class="pic-([a-z0-9-]+)"', made)) & set(PAINTS):
        assert f".picture .pic-{name} {{ fill:" in stylesheet()

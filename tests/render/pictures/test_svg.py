"""Pictures as SVG: well formed, no style attributes, the same bytes each time, readable in every light."""

from __future__ import annotations

from itertools import combinations

import pytest
from defusedxml.ElementTree import fromstring

from proctool.render.pictures.diagram import energy_diagram
from proctool.render.pictures.palette import DARK, LIGHT, PAINTS, PATTERNS, stylesheet
from proctool.render.pictures.picture import Label, Picture
from proctool.render.pictures.plot import table_plots
from proctool.render.pictures.state_band import state_band
from proctool.render.pictures.step_graph import step_graph
from proctool.render.pictures.svg import svg
from tests.render import sheets
from tests.render.pictures import made

SVG = "{http://www.w3.org/2000/svg}"


def every_picture():
    plan = made.plan(3, 60)
    return [
        energy_diagram(made.unit(11)),
        state_band(plan, made.proof(plan, 3)),
        step_graph(plan),
        *table_plots(sheets.change_point()),
    ]


@pytest.mark.parametrize("place", range(4))
def test_a_picture_is_well_formed_and_names_itself(place):
    picture = every_picture()[place]
    root = fromstring(str(svg(picture)))
    assert root.tag == f"{SVG}svg"
    assert root.get("role") == "img"
    assert root[0].tag == f"{SVG}title"
    assert root[0].text == root.get("aria-label") == picture.title
    assert root[1].text == picture.told
    for element in root.iter():
        assert {"style", "id", "href", "onload"} & set(element.keys()) == set()
        assert element.tag not in {f"{SVG}style", f"{SVG}script", f"{SVG}image", f"{SVG}foreignObject"}


@pytest.mark.parametrize("place", range(4))
def test_the_same_data_give_the_same_bytes(place):
    assert svg(every_picture()[place]) == svg(every_picture()[place])


def test_texts_are_escaped_and_what_xml_forbids_is_left_out():
    label = Label(0, 10, 'a<b>&"\x00\x1f\ufffe', 10)
    picture = Picture("kind", '<&"', "told", (), 10, 10, (label,))
    root = fromstring(str(svg(picture)))
    assert root.get("aria-label") == '<&"'
    assert root[2].text == 'a<b>&"'


def test_a_text_from_right_to_left_stands_in_the_same_room():
    label = Label(10, 10, "صمام الدخول", 10, anchor="start")
    drawn = fromstring(str(svg(Picture("kind", "t", "d", (), 90, 20, (label,)))))[2]
    assert (drawn.get("direction"), drawn.get("text-anchor")) == ("rtl", "middle")
    assert float(drawn.attrib["x"]) == pytest.approx((label.box.left + label.box.right) / 2, abs=0.06)


def test_every_class_has_its_rule_and_its_light_colours():
    css = stylesheet()
    for name in PAINTS:
        assert f".picture .pic-{name} {{" in css
    assert css.count("--pic-paper:") == 3
    assert "url(" not in css


# Colours, as the eyes of some readers see them.

MACHADO = {
    "normal": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritan": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
    "none at all": ((0.2126, 0.7152, 0.0722),) * 3,
}
"""Linear RGB to what is seen, at full severity: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, *A
physiologically-based model for simulation of color vision deficiency*, IEEE Trans. Visualization and Computer
Graphics 15 (2009) 1291-1298, supplement (matrices from memory). The last row of rows is the luminance of IEC
61966-2-1, for print in black and white."""


def linear(colour: str) -> list[float]:
    """Linear RGB of a colour (IEC 61966-2-1)."""
    parts = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    return [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]


def luminance(colour: str, eyes: str = "normal") -> float:
    seen = [sum(m * c for m, c in zip(row, linear(colour), strict=True)) for row in MACHADO[eyes]]
    return sum(w * min(max(c, 0), 1) for w, c in zip((0.2126, 0.7152, 0.0722), seen, strict=True))


def lightness(colour: str, eyes: str) -> float:
    """L* of CIE 1976 (CIE 15)."""
    y = luminance(colour, eyes)
    return 116 * y ** (1 / 3) - 16 if y > (6 / 29) ** 3 else y * (29 / 3) ** 3


def contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("eyes", MACHADO)
@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("meanings", [("live", "trapped", "zero"), ("due", "unsure", "soon", "clear")])
def test_every_two_meanings_differ_in_pattern_and_in_lightness(meanings, colours, eyes):
    for one, other in combinations(meanings, 2):
        assert PATTERNS[one] != PATTERNS[other]
        if {one, other} != {"live", "zero"}:  # a full bar and a thin line: no areas to hold side by side
            assert abs(lightness(colours[one], eyes) - lightness(colours[other], eyes)) >= 10, (one, other)


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_texts_and_lines_stand_out_from_the_page(colours):
    for text in ("ink", "soft"):
        for page in ("paper", "tint"):
            assert contrast(colours[text], colours[page]) >= 4.5  # WCAG 2, 1.4.3
    for shape in ("edge", "live", "zero", "hatch"):
        assert contrast(colours[shape], colours["paper"]) >= 3  # WCAG 2, 1.4.11
    for area in ("trapped", "unsure", "soon"):
        assert contrast(colours["hatch"], colours[area]) >= 3

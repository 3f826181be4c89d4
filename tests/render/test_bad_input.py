"""Endless words, names from right to left, no figure or a huge one, hundreds of steps and rows."""

from __future__ import annotations

import io
import re
import subprocess
from dataclasses import replace

import page as checker
import pytest
from PIL import Image

from proctool.model.plan import Picture, StepKind
from proctool.render.html import page
from proctool.render.long_words import breakable
from proctool.render.manual import Manual
from proctool.render.pdf import card_pdf, pdf, tables_pdf
from tests.render import kw4, sheets

WORD = "Hochdruckwasserfiltergehaeusedeckelverschraubungsdichtungsringwechselanweisung" * 2
ARABIC, HEBREW = "غطاء المرشح", "מנתק ראשי"


def tall() -> bytes:
    written = io.BytesIO()
    Image.new("RGB", (300, 6000), "orange").save(written, "PNG")
    return written.getvalue()


@pytest.fixture(scope="module")
def endless() -> Manual:
    plan = kw4.plan()
    names = {"inlet_valve": WORD, "pump_plug": HEBREW, "first": ARABIC}
    parts = {name: replace(part, name=names.get(name, part.name)) for name, part in plan.unit.parts.items()}
    first, second, third, *others = plan.frame.steps
    first = replace(
        first,
        text=f"{WORD} `{WORD}`",
        notes=(WORD,),
        figure=Picture("missing.png", f"The valve {WORD}", kw4.AT),
    )
    second = replace(second, figure=Picture("tall.png", "A tall picture", kw4.AT))
    third = replace(third, kind=StepKind.CHECK, text=WORD)
    unit = replace(plan.unit, title=ARABIC, parts=parts)
    frame = replace(plan.frame, steps=(first, second, third, *others))
    return kw4.view(replace(plan, title=WORD, unit=unit, frame=frame))


@pytest.fixture(scope="module")
def long() -> Manual:
    steps = kw4.chain(*(kw4.do(f"s{n}", f"Look at place {n} of the frame.") for n in range(300)))
    table = sheets.change_point()
    table = replace(table, rows=table.rows * 100)
    return kw4.view(replace(kw4.plan(), frame=steps, opens=()), tables=(table,))


def beyond(content: bytes) -> list[str]:
    """Words that reach over an edge of their sheet."""
    told = subprocess.run(["pdftotext", "-bbox", "-", "-"], input=content, capture_output=True, check=True)
    found: list[str] = []
    width = height = 0.0
    for line in told.stdout.decode().splitlines():
        if size := re.search(r'<page width="([\d.]+)" height="([\d.]+)"', line):
            width, height = float(size[1]), float(size[2])
        box = re.search(
            r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*)<', line
        )
        if box:
            left, top, right, bottom = (float(number) for number in box.groups()[:4])
            if left < 0 or top < 0 or right > width or bottom > height:
                found.append(box[5])
    assert width
    return found


def test_no_word_leaves_its_sheet(endless):
    figures = {"tall.png": tall()}
    assert beyond(pdf(endless, figures)) == []
    assert beyond(card_pdf(endless)) == []


def test_a_picture_that_is_missing_is_told(endless):
    assert f"Picture missing.png cannot be shown. It shows: The valve {WORD}" in page(endless, {})


def test_hundreds_of_steps_and_rows(long):
    content = pdf(long, {})
    assert beyond(content) == []
    text = subprocess.run(
        ["pdftotext", "-", "-"], input=content, capture_output=True, check=True
    ).stdout.decode()
    assert all(f"Look at place {n} of the frame." in text for n in range(300))
    assert beyond(tables_pdf(long)) == []


def test_the_checker_finds_nothing_in_them(endless):
    for content in (pdf(endless, {"tall.png": tall()}), card_pdf(endless)):
        report = checker.validate_pdf_bytes(content, profile=checker.ValidationProfile.PDF_UA_1)
        assert [(failure.rule_id, failure.message) for failure in report.failures] == []


@pytest.mark.parametrize("width", [0, 12, 24])
def test_a_number_is_never_broken(width):
    plan = kw4.plan()
    heat = replace(
        plan.unit.energies["water"], normal="45 to 60 °C (113 to 140 °F)" + " or so" * (width // 4)
    )
    heat = replace(heat, safe="40 °C or less (104 °F or less)")
    unit = replace(plan.unit, energies={**plan.unit.energies, "water": heat})
    parts = {name: replace(part, usual=None) for name, part in unit.parts.items()}
    content = card_pdf(kw4.view(replace(plan, unit=replace(unit, parts=parts))))
    text = subprocess.run(
        ["pdftotext", "-raw", "-", "-"], input=content, capture_output=True, check=True
    ).stdout
    assert "40" in text.decode().split()


def test_long_words_have_their_places_and_short_ones_none():
    text = (
        "<head><title>"
        + "x" * 40
        + "</title></head><p title='"
        + "y" * 40
        + "'>"
        + "z" * 30
        + "&amp;a short one</p>"
    )
    made = breakable(text)
    assert made.replace("\u200b", "") == text
    assert made.count("\u200b") == 2
    assert "&amp;" in made

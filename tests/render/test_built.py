"""What `build` hands on to the manual: tables, deviations, lowered rules."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from proctool.api import Library, open_library
from tests.render.test_html import Outline
from tests.rules import example

ROOT = Path(__file__).parents[2]
BAD = ROOT / "tests/rules/leak/seal-not-inspected/bad.yaml"
MOST = 400_000
"""Bytes of a page, pictures and letters included."""
DEVIATION = """\
deviations:
  - {rule: leak/seal-not-inspected, part: housing, why: The seal is moulded into the lid.,
     instead: The lid is replaced every year., by: A. Example, until: 2027-03-31}
"""


def built(library: Library, to: Path, **asked: Any) -> Outline:
    (page,) = library.build(to, formats=frozenset({"html"}), today=date(2026, 6, 1), **asked).written[:1]
    return Outline(page.read_text(encoding="utf-8"))


def test_a_manual_of_the_demo_holds_its_table(tmp_path):
    demo = open_library(ROOT / "procedures")
    text = built(demo, tmp_path, procedure="change-cartridges", unit="KW-2").text
    assert "Change both cartridges when the outlet gauge P2 reads this or less" in text
    assert "Only while water runs at normal flow with the sample tap V7 fully open." in text
    assert "table change_point" not in text
    assert "FP-KW-101 Revision 1" in text


@pytest.mark.parametrize("library", ["procedures", "household"])
def test_no_page_of_the_demo_is_too_heavy_for_a_phone(tmp_path, library):
    open_library(ROOT / library).build(tmp_path, formats=frozenset({"html"}), today=date(2026, 6, 1))
    sizes = {path.relative_to(tmp_path).as_posix(): path.stat().st_size for path in tmp_path.rglob("*.html")}
    assert sizes
    assert {page: size for page, size in sizes.items() if size > MOST} == {}


@pytest.fixture
def files():
    found = dict(example.fixture(BAD.read_text(encoding="utf-8"))[0])
    found["procedure.yaml"] += DEVIATION
    return found


def test_a_deviation_is_told_as_the_finding_was_before(files, tmp_path):
    text = built(Library.from_texts(files), tmp_path).text
    assert "PROVEN WITH DEVIATIONS" in text
    assert "Not valid after 2027-03-31." in text
    told = text[text.index("This procedure departs") :]
    assert "The lid is replaced every year." in told
    assert "Deviation until" not in told


def test_lowered_rules_are_told(files, tmp_path):
    files["library.yaml"] += "levels: {leak/no-duration: advice}\n"
    assert "leak/no-duration" in built(Library.from_texts(files), tmp_path).text

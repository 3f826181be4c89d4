"""The page of an audit in a real browser: a phone, a screen, paper, with scripts and without."""

from __future__ import annotations

import base64
import io
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from pypdf import PdfReader

from proctool.api import Library, audited, open_library
from tests.cli.plant import FILES
from tests.render.browser import Browser

DEMO = Path(__file__).parents[2] / "procedures"
TODAY = date(2026, 6, 1)

OVERFLOW = """
[...document.querySelectorAll('body *')]
  .filter(e => e.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5)
  .filter(e => !e.closest('.aside') && !e.closest('thead'))
  .map(e => e.tagName + '.' + e.className)
"""
SHOWN = "[...document.querySelectorAll('.matrix tbody tr')].filter(e => e.offsetParent).length"


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    browser = Browser(tmp_path_factory.mktemp("profile"))
    yield browser
    browser.close()


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("page") / "audit.html"
    found = audited(open_library(DEMO), version="0", procedure="change-cartridges", today=TODAY)
    path.write_text(found.to_html(), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def broken(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One gap in each of two cases: nothing is locked."""
    path = tmp_path_factory.mktemp("broken") / "audit.html"
    block = FILES["blocks/make-safe.yaml"].replace("        lock: device\n", "")
    found = audited(Library.from_texts({**FILES, "blocks/make-safe.yaml": block}), version="0", today=TODAY)
    path.write_text(found.to_html(), encoding="utf-8")
    return path


def choose(browser, name, value):
    browser.evaluate(
        f"(() => {{ const s = document.querySelector('#filter [name={name}]'); s.value = '{value}';"
        " s.dispatchEvent(new Event('change', {bubbles: true})); })()"
    )


@pytest.mark.parametrize("width", [320, 360, 768, 1280])
def test_nothing_sticks_out_sideways(browser, demo, width):
    browser.visit(demo, width=width)
    assert browser.evaluate("document.scrollingElement.scrollWidth <= innerWidth")
    assert browser.evaluate(OVERFLOW) == []


def test_the_policy_lets_the_script_run_and_nothing_else_is_asked_for(browser, demo):
    browser.visit(demo, width=1280)
    assert browser.evaluate("document.getElementById('filter').hidden") is False
    said = [
        event["params"]["entry"]["text"] for event in browser.events if event["method"] == "Log.entryAdded"
    ]
    assert said == []
    asked = [
        e["params"]["request"]["url"] for e in browser.events if e["method"] == "Network.requestWillBeSent"
    ]
    assert [url for url in asked if not url.startswith("data:")] == [demo.as_uri()]


def test_rows_are_chosen_by_unit_energy_and_mark(browser, demo, broken):
    browser.visit(demo, width=1280)
    every = browser.evaluate(SHOWN)
    choose(browser, "unit", "KW-4T")
    of_unit = browser.evaluate(SHOWN)
    assert 0 < of_unit < every
    choose(browser, "energy", "mains")
    assert 0 < browser.evaluate(SHOWN) < of_unit
    assert (
        browser.evaluate("document.getElementById('count').textContent") == f"{browser.evaluate(SHOWN)} rows"
    )
    choose(browser, "rows", "gap")
    assert browser.evaluate(SHOWN) == 0
    browser.visit(broken, width=360)
    choose(browser, "rows", "gap")
    assert browser.evaluate(SHOWN) == 2


def test_a_link_into_what_is_closed_or_filtered_out_shows_it(browser, demo):
    browser.visit(demo, width=360)
    choose(browser, "unit", "KW-2")
    browser.evaluate("location.hash = '#case-3-s5'")
    browser.evaluate("new Promise(r => setTimeout(r, 200))")
    browser.evaluate("0")
    assert browser.evaluate("document.getElementById('case-3-s5').closest('details').open")
    assert browser.evaluate("document.getElementById('case-3').hidden") is False


def test_without_scripts_all_rows_stand_there_and_no_dead_filter(browser, demo):
    browser.call("Emulation.setScriptExecutionDisabled", value=True)
    try:
        browser.visit(demo, width=360)
        assert browser.evaluate("document.getElementById('filter').offsetParent") is None
        assert browser.evaluate(SHOWN) == browser.evaluate(
            "document.querySelectorAll('.matrix tbody tr').length"
        )
    finally:
        browser.call("Emulation.setScriptExecutionDisabled", value=False)


def test_gaps_come_before_everything_else(browser, broken):
    browser.visit(broken, width=360)
    top = "document.querySelector('#gaps .gap-box').getBoundingClientRect().top + scrollY"
    assert browser.evaluate(top) < 740


def test_what_is_pressed_is_large_enough_for_a_finger(browser, demo):
    """24 by 24 px, WCAG 2.2, 2.5.8; what is chosen by, 44."""
    browser.visit(demo, width=360)
    small = (
        "[...document.querySelectorAll('.deed a, summary, nav a')].filter(e => e.offsetParent)"
        ".map(e => e.getBoundingClientRect()).filter(r => r.height < 24 || r.width < 24).length"
    )
    assert browser.evaluate(small) == 0
    selects = "[...document.querySelectorAll('select')].map(e => e.getBoundingClientRect().height)"
    assert min(browser.evaluate(selects)) >= 44


def test_on_paper_the_steps_are_written_out_and_the_filter_is_gone(browser, demo):
    browser.visit(demo, width=1280)
    printed = browser.call("Page.printToPDF", preferCSSPageSize=True)
    pdf = PdfReader(io.BytesIO(base64.b64decode(printed["data"])))
    text = " ".join(" ".join(page.extract_text().split()) for page in pdf.pages)
    first = pdf.pages[0].mediabox
    assert first.width > first.height
    assert "Close the inlet valve V1" in text
    assert "Part and energy Isolated Secured Relieved Verified Restored Leak-checked" in text
    assert "in the sample" not in text  # a choice of the filter

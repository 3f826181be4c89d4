"""The page in a real browser."""

from __future__ import annotations

import base64
import io
from collections.abc import Iterator

import pytest
from pypdf import PdfReader

from proctool.render.html import page
from tests.render import kw4, sheets
from tests.render.browser import Browser
from tests.render.test_departures import ONE


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    browser = Browser(tmp_path_factory.mktemp("profile"))
    yield browser
    browser.close()


@pytest.fixture(scope="module")
def manual(tmp_path_factory: pytest.TempPathFactory):
    path = tmp_path_factory.mktemp("page") / "manual.html"
    plan = kw4.with_facts(kw4.plan(), due=("table change_point",), shows={"pressure": ("bar", "psi")})
    tables = (sheets.change_point(), sheets.torque())
    view = kw4.view(plan, draft=True, tables=tables, deviations=(ONE,))
    path.write_text(page(view, {}), encoding="utf-8")
    return path


OVERFLOW = """
[...document.querySelectorAll('body *')]
  .filter(e => e.getBoundingClientRect().right > document.documentElement.clientWidth + 0.5)
  .map(e => e.tagName + '.' + e.className)
"""


@pytest.mark.parametrize("width", [320, 360, 700, 1200])
def test_nothing_sticks_out_sideways(browser, manual, width):
    browser.visit(manual, width=width)
    assert browser.evaluate("document.scrollingElement.scrollWidth <= innerWidth")
    assert browser.evaluate(OVERFLOW) == []


def test_targets_are_large_enough_for_a_gloved_finger(browser, manual):
    browser.visit(manual, width=360)
    sizes = browser.evaluate(
        "[...document.querySelectorAll('a, input')].map(e => e.getBoundingClientRect())"
        ".map(r => [r.width, r.height])"
    )
    assert isinstance(sizes, list)
    assert len(sizes) > 30
    assert min(min(size) for size in sizes) >= 24


def test_the_policy_lets_the_style_in_and_nothing_is_requested(browser, manual):
    browser.visit(manual, width=360)
    assert browser.evaluate(
        "getComputedStyle(document.querySelector('.danger .signal')).backgroundColor"
    ) == ("rgb(155, 36, 35)")
    requests = [
        e["params"]["request"]["url"] for e in browser.events if e["method"] == "Network.requestWillBeSent"
    ]
    assert [url for url in requests if not url.startswith("data:")] == [manual.as_uri()]
    assert [e["params"]["entry"]["text"] for e in browser.events if e["method"] == "Log.entryAdded"] == []


def test_the_isolation_table_reads_as_cards_on_a_phone(browser, manual):
    browser.visit(manual, width=360)
    label = "getComputedStyle(document.querySelector('.cards td'), '::before').content"
    assert browser.evaluate(label) == '"Isolator"'
    browser.visit(manual, width=1200)
    assert browser.evaluate(label) == "none"


@pytest.mark.parametrize("width", [320, 1200])
def test_numbers_of_a_column_end_on_one_line(browser, manual, width):
    browser.visit(manual, width=width)
    ends = browser.evaluate("""
        [0, 1, 3, 4].map(place => [...document.querySelectorAll('.grid tbody tr')].slice(0, 2).map(row => {
          const range = document.createRange();
          range.selectNodeContents(row.cells[place]);
          return Math.round(range.getBoundingClientRect().right);
        }))
    """)
    assert isinstance(ends, list)
    assert all(len(set(column)) == 1 for column in ends)
    assert len({column[0] for column in ends}) == 4


def test_nested_numbers_stay_in_their_rail(browser, manual):
    browser.visit(manual, width=320)
    browser.evaluate("document.querySelectorAll('.fail .number').forEach(n => n.textContent = '58.12.10')")
    over = browser.evaluate("""
        [...document.querySelectorAll('.number')]
          .filter(n => n.getBoundingClientRect().right > n.closest('.main').querySelector('.body')
            .getBoundingClientRect().left || n.getClientRects().length > 1)
          .map(n => n.textContent)
    """)
    assert over == []


def test_dark_rooms_get_a_dark_page(browser, manual):
    browser.visit(manual, width=360, dark=True)
    assert browser.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(20, 24, 28)"


def test_the_draft_mark_stays_in_sight(browser, manual):
    browser.visit(manual, width=360)
    browser.evaluate("window.scrollTo(0, document.body.scrollHeight)")
    assert browser.evaluate("document.querySelector('.banner').getBoundingClientRect().top") == 0


def test_a_printed_draft_says_so_on_every_page(browser, manual):
    browser.visit(manual, width=1200)
    made = PdfReader(io.BytesIO(base64.b64decode(browser.call("Page.printToPDF")["data"])))
    assert len(made.pages) > 3
    for sheet in made.pages:
        assert "DRAFT—NOTPROVEN" in "".join(sheet.extract_text().split())

"""Pictures in a real browser and in a PDF: texts as wide as they are there, the dark page, the words."""

from __future__ import annotations

import io
from collections.abc import Iterator

import pytest
from pypdf import PdfReader

from proctool.render.pictures.diagram import energy_diagram
from proctool.render.pictures.palette import PAPER, stylesheet
from proctool.render.pictures.picture import PHONE
from proctool.render.pictures.plot import table_plots
from proctool.render.pictures.state_band import state_band
from proctool.render.pictures.step_graph import step_graph
from proctool.render.pictures.svg import svg
from tests.render import kw4
from tests.render.browser import Browser
from tests.render.pictures import made
from tests.render.pictures.test_diagram import UNITS, overlay

PAGE = """<!doctype html><html lang="en"><meta charset="utf-8"><title>Pictures</title>
<meta name="viewport" content="width=device-width"><style>
@media (prefers-color-scheme: dark) {{ body {{ background: #14181c; }} }}
body {{ margin: 16px; font-family: system-ui, sans-serif; }} {0}</style>{1}</html>"""
MEET = """
[...document.querySelectorAll('svg')].flatMap(picture => {
  const texts = [...picture.querySelectorAll('text')].filter(t => t.getClientRects().length);
  const boxes = texts.map(t => [t.textContent, t.getBoundingClientRect()]);
  const all = picture.getBoundingClientRect();
  const out = boxes.filter(([, b]) => b.left < all.left - 1 || b.right > all.right + 1).map(([t]) => [t]);
  boxes.forEach(([t, a], i) => boxes.slice(i + 1).forEach(([u, b]) => {
    const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
    const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
    // Boxes of lines hold the leading of the font: lines under one another share some of that.
    if (across > 0.5 && down > 0.3 * Math.min(a.height, b.height)) out.push([t, u]);
  }));
  return out;
})
"""


def pictures():
    plan = made.plan(4, 120)
    return [
        energy_diagram(made.unit(11), width=PHONE, overlay=overlay(made.unit(11), 1)),
        *(energy_diagram(unit, width=PHONE) for unit in UNITS.values()),
        state_band(plan, made.proof(plan, 4), width=PHONE),
        step_graph(plan, width=PHONE),
        *table_plots(made.table(200), width=PHONE),
    ]


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    browser = Browser(tmp_path_factory.mktemp("profile"))
    yield browser
    browser.close()


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory):
    path = tmp_path_factory.mktemp("page") / "pictures.html"
    path.write_text(PAGE.format(stylesheet(), "".join(str(svg(one)) for one in pictures())), encoding="utf-8")
    return path


def test_no_text_meets_another_in_the_fonts_of_the_browser(browser, page):
    browser.visit(page, width=360)
    assert browser.evaluate("document.querySelectorAll('svg text').length") > 1000
    assert browser.evaluate(MEET) == []


def test_pictures_keep_to_a_phone_and_turn_dark(browser, page):
    browser.visit(page, width=360)
    assert browser.evaluate("document.scrollingElement.scrollWidth <= innerWidth")
    ink = "getComputedStyle(document.querySelector('svg .pic-text')).fill"
    assert browser.evaluate(ink) == "rgb(27, 33, 38)"
    browser.visit(page, width=360, dark=True)
    assert browser.evaluate(ink) == "rgb(236, 239, 241)"


def test_a_script_turns_a_state_on(browser, page):
    browser.visit(page, width=360)
    assert browser.evaluate("""
        (() => {
          const sign = document.querySelector('.pic-state[data-state=live]');
          const [off, on] = ['.pic-as-live', '.pic-as-zero'].map(name => sign.querySelector(name));
          off.setAttribute('display', 'none');
          on.removeAttribute('display');
          return [off, on].map(g => getComputedStyle(g).display);
        })()
    """) == ["none", "inline"]


def test_in_a_pdf_the_title_is_the_alternative_text():
    from weasyprint import HTML

    picture = energy_diagram(kw4.unit())
    source = f"<!doctype html><html lang=en><title>P</title><style>{PAPER}</style>{svg(picture)}</html>"
    made_pdf = HTML(string=source).write_pdf(pdf_variant="pdf/ua-1")
    reader = PdfReader(io.BytesIO(made_pdf))
    assert len(reader.pages) == 1
    assert alternatives(reader.root_object["/StructTreeRoot"]) == [picture.title]
    assert "V1" in reader.pages[0].extract_text()


@pytest.mark.parametrize("parts", [20, 60])
def test_a_diagram_of_any_size_fits_a_sheet(parts):
    from weasyprint import HTML

    drawn = svg(energy_diagram(made.unit(6, parts)))
    source = f"<style>@page {{ size: A4; margin: 19mm 15mm }} {PAPER}</style>{drawn}"
    assert len(PdfReader(io.BytesIO(HTML(string=source).write_pdf())).pages) == 1


def alternatives(node) -> list[str]:
    """The alternative texts of all figures under a node of the structure of a PDF."""
    node = node.get_object()
    if isinstance(node, list):
        return [text for inner in node for text in alternatives(inner)]
    if not isinstance(node, dict):
        return []
    own = [node["/Alt"]] if node.get("/S") == "/Figure" else []
    return own + (alternatives(node["/K"]) if "/K" in node else [])

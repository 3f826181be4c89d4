"""For everyone: axe-core, large targets, nothing that moves, the same text without scripts."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from importlib.resources import files
from pathlib import Path

import pytest

from proctool.api import open_library
from proctool.model.plan import StepKind
from proctool.render.html import page
from tests.render import kw4
from tests.render.screen.axe import violations
from tests.render.screen.pages import click, text

LIBRARY = Path(__file__).parents[3] / "procedures"
SMALL = """
[...document.querySelectorAll('main a, button, input, select, summary')]
  .map(e => [e, e.getBoundingClientRect()])
  .filter(([, box]) => box.height && (box.height < 44 || box.width < 44))
  .map(([e]) => e.outerHTML.slice(0, 80))
"""
WORDS = """
(() => {
  const main = document.querySelector('main').cloneNode(true);
  main.querySelectorAll('.tools, .lookup, .stepper-head, .stepper-bar, #now').forEach(e => e.remove());
  return main.textContent.replace(/\\s+/g, ' ');
})()
"""


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory):
    """A page of each family, and the first page."""
    folder = tmp_path_factory.mktemp("demo")
    library = open_library(LIBRARY)
    for procedure, unit in (("change-cartridges", "KW-4T"), ("replace-lamp-and-sleeve", "UV-1")):
        library.build(
            folder, formats=frozenset({"html"}), today=date(2026, 6, 1), procedure=procedure, unit=unit
        )
    return sorted(folder.rglob("*.html"))


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("width", [360, 768, 1280])
def test_axe_finds_nothing(browser, manual, demo, width, dark):
    assert len(demo) >= 2
    for path in (manual, *demo):
        browser.visit(path, width=width, dark=dark)
        assert violations(browser) == [], path
        if browser.evaluate("document.getElementById('stepping') !== null"):
            click(browser, "stepping")
            assert violations(browser) == [], path


@pytest.fixture(scope="module")
def hostile(tmp_path_factory: pytest.TempPathFactory):
    """A draft of 300 steps with words that no line holds, some from right to left."""
    word = "Donaudampfschifffahrtselektrizitätenhauptbetriebswerk" * 4
    steps = [
        kw4.do(
            f"s{n}",
            f"{word} {n} שסתום כניסה",
            kw4.act("tell", what="supervisor"),
            hold=word if n % 7 == 0 else None,
            kind=StepKind.READ if n % 5 == 0 else StepKind.DO,
            gauge="outlet_gauge" if n % 5 == 0 else None,
        )
        for n in range(300)
    ]
    plan = replace(kw4.plan(), title=word, frame=kw4.chain(*steps), opens=())
    path = tmp_path_factory.mktemp("hostile") / "draft.html"
    path.write_text(page(kw4.view(plan, draft=True), {}), encoding="utf-8")
    return path


@pytest.mark.parametrize("width", [320, 768, 1280])
def test_long_words_and_many_steps_fit(browser, hostile, width):
    fits = "document.scrollingElement.scrollWidth <= innerWidth"
    browser.visit(hostile, width=width)
    assert browser.evaluate(fits)
    click(browser, "stepping")
    assert text(browser, "where") == "Step 1 of 300"
    assert browser.evaluate(fits)


def test_axe_finds_nothing_on_a_draft(browser, hostile):
    browser.visit(hostile, width=360)
    click(browser, "stepping")
    assert violations(browser) == []


def test_axe_finds_a_fault_where_there_is_one(browser, manual):
    browser.visit(manual, width=360)
    browser.evaluate("document.querySelector('#stepping').textContent = ''")
    assert [found[0] for found in violations(browser)] == ["button-name"]


@pytest.mark.parametrize("width", [360, 1280])
def test_targets_are_large_enough_for_a_wet_glove(fresh, manual, width):
    fresh.visit(manual, width=width)
    assert fresh.evaluate(SMALL) == []
    click(fresh, "stepping")
    assert fresh.evaluate(SMALL) == []


def test_nothing_shifts_while_the_page_loads(fresh, manual):
    fresh.visit(manual, width=360)
    answer = fresh.call(
        "Runtime.evaluate",
        expression="""new Promise(done => {
          const found = [];
          new PerformanceObserver(list => found.push(...list.getEntries().map(e => e.value)))
            .observe({type: 'layout-shift', buffered: true});
          setTimeout(() => done(found), 300);
        })""",
        awaitPromise=True,
        returnByValue=True,
    )
    assert answer["result"]["value"] == []


def test_a_judgement_does_not_move_what_stands_below(fresh):
    below = "document.querySelector('#step-34').getBoundingClientRect().top"
    before = fresh.evaluate(below)
    fresh.evaluate("""
        (() => { const field = document.querySelector('#step-33 input[data-scales]');
          field.value = '9'; field.dispatchEvent(new Event('input', {bubbles: true})); })()
    """)
    assert fresh.evaluate("document.querySelector('#step-33 .judged').textContent")
    assert fresh.evaluate(below) == before


def test_nothing_moves_by_itself():
    folder = files("proctool.render")
    sources = [(folder / "templates" / name).read_text("utf-8") for name in ("manual.css", "screen.css")]
    sources += [path.read_text("utf-8") for path in (folder / "scripts").iterdir()]
    assert len(sources) > 8
    for word in ("transition", "animation", "@keyframes", "smooth", "setInterval", "requestAnimationFrame"):
        assert not [source for source in sources if word in source], word


def test_without_scripts_the_page_says_the_same(fresh, manual):
    fresh.visit(manual, width=360)
    with_scripts = fresh.evaluate(WORDS)
    fresh.call("Emulation.setScriptExecutionDisabled", value=True)
    try:
        fresh.visit(manual, width=360)
        assert fresh.evaluate("document.documentElement.className") == ""
        assert fresh.evaluate(WORDS) == with_scripts
        hidden = ".tools, .lookup, .stepper-head, .stepper-bar, #now, #page-data, #page-words"
        seen = fresh.evaluate(
            f"[...document.querySelectorAll('{hidden}')].filter(e => e.offsetHeight).length"
        )
        assert seen == 0
        fresh.evaluate("document.querySelector('#step-2 .tick').click()")
        assert fresh.evaluate("document.querySelector('#step-2 .tick').checked")
    finally:
        fresh.call("Emulation.setScriptExecutionDisabled", value=False)


def test_scripts_ask_for_nothing_and_fail_nowhere(fresh, manual):
    fresh.visit(manual, width=360)
    click(fresh, "stepping")
    asked = [e for e in fresh.events if e["method"] == "Network.requestWillBeSent"]
    assert {e["params"]["request"]["url"].split(":")[0] for e in asked} <= {"file", "data"}
    failed = {"Runtime.exceptionThrown", "Log.entryAdded"}
    assert [e for e in fresh.events if e["method"] in failed] == []

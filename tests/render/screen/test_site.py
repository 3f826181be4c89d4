"""The pages around the manuals in a real browser: from a file path and from a server, for everyone."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest

from tests.render import shelf
from tests.render.screen.axe import violations
from tests.render.screen.pages import press, tab_to, text

EACH = ("index.html", "unit.KW-4T.html", "rules.html", "rules.energy.html")
"""One page of each kind."""
HITS = """
[...document.querySelectorAll('#hits a')]
  .map(a => [a.querySelector('strong').textContent, a.getAttribute('href')])
"""
FAULTS = {"Log.entryAdded", "Runtime.exceptionThrown"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return shelf.write(tmp_path_factory.mktemp("site"))


@pytest.fixture(scope="module")
def served(folder: Path) -> Iterator[str]:
    """The address of a plain server of the files."""

    class Quiet(SimpleHTTPRequestHandler):
        def log_message(self, *said: object) -> None: ...

    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(folder)))
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()
    server.server_close()


def find(browser, asked):
    """What is told of a search, and the titles found with their addresses."""
    browser.evaluate(
        f"asked.value = {asked!r}; asked.dispatchEvent(new Event('input', {{bubbles: true}})); 0"
    )
    return text(browser, "found"), browser.evaluate(HITS)


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("width", [360, 768, 1280])
def test_axe_finds_nothing(browser, folder, width, dark):
    pages = sorted(folder.glob("*.html"))
    assert len(pages) > 20
    for page in pages if width == 360 and not dark else [folder / name for name in EACH]:
        browser.visit(page, width=width, dark=dark)
        assert violations(browser) == [], page
    browser.visit(folder / "index.html", width=width, dark=dark)
    assert find(browser, "valve")[1]
    assert violations(browser) == []


@pytest.mark.parametrize("width", [320, 360, 768, 1280])
def test_nothing_sticks_out_sideways(browser, folder, width):
    for page in sorted(folder.glob("*.html")):
        browser.visit(page, width=width)
        assert browser.evaluate("document.scrollingElement.scrollWidth <= innerWidth"), page


def test_targets_are_large_enough_for_a_wet_glove(browser, folder):
    for name in EACH:
        browser.visit(folder / name, width=360)
        if name == "index.html":
            assert find(browser, "valve")[1]
        small = browser.evaluate("""
            [...document.querySelectorAll('a, button, input, summary')]
              .map(e => [e, e.getBoundingClientRect()])
              .filter(([, box]) => box.height && (box.height < 43.5 || box.width < 43.5))
              .map(([e]) => e.outerHTML.slice(0, 80))
        """)
        assert small == [], name


@pytest.mark.parametrize("served_too", [False, True])
def test_it_works_from_a_file_and_from_a_server_and_fetches_nothing(browser, folder, served, served_too):
    for name in EACH:
        browser.visit(f"{served}/{name}" if served_too else folder / name, width=360)
        assert browser.evaluate("getComputedStyle(document.querySelector('main')).maxWidth") != "none"
        sent = [e["params"] for e in browser.events if e["method"] == "Network.requestWillBeSent"]
        asked = [one["request"]["url"] for one in sent]
        # A browser asks a server for the sign of a site by itself.
        asked = [url for url in asked if not url.startswith("data:") and not url.endswith("/favicon.ico")]
        assert [url.rpartition("/")[2] for url in asked] == [name]
        faults = [e["params"] for e in browser.events if e["method"] in FAULTS]
        assert [f for f in faults if "favicon" not in str(f)] == []
    browser.visit(f"{served}/index.html" if served_too else folder / "index.html", width=360)
    assert find(browser, "booster kw-4t")[1]


class TestSearch:
    @pytest.fixture
    def first(self, browser, folder):
        browser.visit(folder / "index.html", width=360)
        return browser

    @pytest.mark.parametrize(
        ("asked", "best"),
        [
            ("KW-4", "KW-4 · Twin-cartridge water skid with booster pump"),
            ("kw-4t", "KW-4T · Twin-cartridge water skid with booster pump and bladder tank"),
            ("kw-4 v1", "Inlet valve V1 · KW-4"),
            ("cartr KW-6", "Change the sediment and carbon cartridges · KW-6"),
            ("energy/closed-loose", "energy/closed-loose"),
            ("pr\u00fcfe sediment kw-2", "Change the sediment and carbon cartridges · KW-2"),
            ("PRUFE sediment kw-2", "Change the sediment and carbon cartridges · KW-2"),
        ],
    )
    def test_the_best_comes_first(self, first, asked, best):
        told, hits = find(first, asked)
        assert told.endswith("found") or "the first 40 shown" in told
        assert hits[0][0] == best

    def test_the_best_match_of_a_unit_is_its_page(self, first):
        assert find(first, "KW-4 twin-cartridge")[1][0][1] == "unit.KW-4.html"

    def test_every_word_must_be_there(self, first):
        assert find(first, "valve zzz") == ("Not in this library: zzz.", [])
        told, hits = find(first, "glasses-first dichtung kw-2 energy ultraviolet")
        assert (told.startswith(("Nothing holds", "Not in this library")), hits) == (True, [])

    def test_a_hit_says_whether_it_is_to_be_worked_from(self, first):
        find(first, "weekly")
        said = first.evaluate("[...document.querySelectorAll('#hits .kind')].map(e => e.textContent)")
        assert {"Manual", "Draft: do not work from it", "Refused: no manual"} <= set(said)

    def test_many_are_cut_and_told(self, first):
        told, hits = find(first, "the")
        assert "the first 40 shown" in told and len(hits) == 40

    @pytest.mark.parametrize("asked", ["", "   ", "·/", "<b>"])
    def test_no_word_finds_nothing_and_breaks_nothing(self, first, asked):
        assert find(first, "valve")[1]
        told, hits = find(first, asked)
        assert hits == [] or asked == "<b>"
        assert first.evaluate("document.querySelectorAll('#found b, #hits b').length") == 0
        assert "undefined" not in told

    def test_words_that_every_object_knows_are_words_like_others(self, first):
        assert find(first, "constructor") == ("Not in this library: constructor.", [])

    def test_the_question_stands_in_the_address(self, first, folder):
        hits = find(first, "V1 kw-4")[1]
        first.visit(folder / "rules.html", width=360)
        first.visit(f"{(folder / 'index.html').as_uri()}#find=V1%20kw-4", width=360)
        assert first.evaluate("asked.value") == "V1 kw-4"
        assert first.evaluate(HITS) == hits
        first.visit(folder / "rules.html", width=360)
        first.visit(f"{(folder / 'index.html').as_uri()}#find=%E0%A4%A", width=360)
        assert first.evaluate("asked.value") == ""

    def test_by_keyboard_alone(self, first):
        tab_to(first, "asked")
        for letter in "v1 kw-6":
            first.call("Input.insertText", text=letter)
        press(first, "Tab")
        assert first.evaluate("document.activeElement.type") == "reset"
        press(first, "Tab")
        assert first.evaluate("document.activeElement.textContent").startswith("Part")
        first.evaluate("document.querySelector('#find [type=reset]').focus()")
        press(first, "Enter")
        waited = "new Promise(done => setTimeout(done, 50))"
        first.call("Runtime.evaluate", expression=waited, awaitPromise=True)
        left = first.evaluate("[document.activeElement.id, asked.value, hits.childElementCount]")
        assert left == ["asked", "", 0]


def test_without_scripts_all_lists_are_there_and_no_field_that_does_nothing(browser, folder):
    lists = "document.getElementById('units').textContent + document.getElementById('procedures').textContent"
    browser.visit(folder / "index.html", width=360)
    with_scripts = browser.evaluate(lists)
    browser.call("Emulation.setScriptExecutionDisabled", value=True)
    try:
        browser.visit(folder / "index.html", width=360)
        assert browser.evaluate(lists) == with_scripts
        assert browser.evaluate("document.getElementById('find').offsetHeight") == 0
        assert browser.evaluate("document.querySelector('.no-script').offsetHeight") > 0
    finally:
        browser.call("Emulation.setScriptExecutionDisabled", value=False)

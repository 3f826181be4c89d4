"""axe-core on the pages that the demo library builds: a few of them, with WHOLE=1 in the environment all."""

from __future__ import annotations

import os
from datetime import date
from pathlib import Path

import pytest

from proctool.api import open_library
from tests.render.screen.axe import violations
from tests.render.screen.pages import click

LIBRARY = Path(__file__).parents[3] / "procedures"
WHOLE = os.environ.get("WHOLE") == "1"
SOME = (("sanitise-skid", "KW-4T"), ("weekly-round", "HX-5"))
"""The largest page and one without isolation; test_site.py has the pages around them."""
STEPPING = "document.getElementById('stepping') !== null"


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    folder = tmp_path_factory.mktemp("site")
    library = open_library(LIBRARY)
    for procedure, unit in ((None, None),) if WHOLE else SOME:
        library.build(
            folder, formats=frozenset({"html"}), today=date(2026, 6, 1), procedure=procedure, unit=unit
        )
    pages = sorted(folder.rglob("*.html"))
    manuals = [path for path in pages if path.parent != folder]
    asked = {(p.name, u) for p, u in library.pairs()} if WHOLE else set(SOME)
    assert {(path.parent.name, path.stem) for path in manuals} == asked
    return pages


@pytest.mark.parametrize(("width", "dark"), [(360, False), (768, False), (1280, False), (360, True)])
def test_axe_finds_nothing_on_any_page(browser, site, width, dark):
    found = {}
    for path in site:
        browser.visit(path, width=width, dark=dark)
        found[f"{path.parent.name}/{path.stem}", "page"] = violations(browser)
        if browser.evaluate(STEPPING):
            click(browser, "stepping")
            found[f"{path.parent.name}/{path.stem}", "one step"] = violations(browser)
    assert {place: broken for place, broken in found.items() if broken} == {}

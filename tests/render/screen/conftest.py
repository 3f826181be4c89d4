"""One browser for the tests of the page's scripts."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.render.browser import Browser
from tests.render.screen import pages


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    browser = Browser(tmp_path_factory.mktemp("profile"))
    yield browser
    browser.close()


@pytest.fixture(scope="module")
def manual(tmp_path_factory: pytest.TempPathFactory):
    return pages.write(tmp_path_factory.mktemp("page"))


@pytest.fixture
def fresh(browser, manual):
    """The page in a phone's width, with nothing kept."""
    browser.visit(manual, width=360)
    browser.evaluate("localStorage.clear()")
    browser.visit(manual, width=360)
    return browser

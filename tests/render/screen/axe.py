"""axe-core in a page: what it finds against WCAG 2.2 A and AA and its good practices."""

from __future__ import annotations

from importlib.resources import files

from tests.render.browser import Browser

_SOURCE = files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8")
_RUN = """
axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']})
  .then(found => found.violations.map(v => [v.id, v.nodes.length, v.nodes[0].html.slice(0, 160)]))
"""


def violations(browser: Browser) -> list[list[object]]:
    """Rule, number of places and the first of them, for each rule that the page breaks."""
    browser.evaluate(f"{_SOURCE}; 0")
    answer = browser.call("Runtime.evaluate", expression=_RUN, awaitPromise=True, returnByValue=True)
    assert "exceptionDetails" not in answer, answer
    return answer["result"]["value"]

"""Ways into a page: what authors write, and pictures. Nothing of it may run or reach outside."""

from __future__ import annotations

from functools import cache

from proctool.library import Library
from proctool.printing import shown
from proctool.render import prose
from proctool.render.html import page
from proctool.source.drawing import drawing_fault
from proctool.source.figures import Refused, looked_through
from tests.fuzz import strict
from tests.fuzz.bounds import BUDGET
from tests.fuzz.choices import Choices
from tests.fuzz.mutations import retold
from tests.fuzz.seeds import with_text
from tests.fuzz.surface import Surface
from tests.fuzz.words import DRAWN, HEADS, HIDDEN, MARKUP, NUMBERS, WORDS


def _markup(data: bytes) -> None:
    choices = Choices(data)
    text = "".join(choices.pick((*MARKUP, *WORDS, choices.text(8))) for _ in choices.times(30))
    strict.prose(str(prose.block(text)))
    strict.prose(str(prose.inline(text)))


def _page(data: bytes) -> None:
    choices = Choices(data)
    text = "".join(choices.pick((*MARKUP, *WORDS)) for _ in choices.times(12))
    library = Library(with_text(text, title=choices.pick(WORDS)))
    for case in library.cases(budget=BUDGET):
        if case.plan is not None and case.proof is not None:
            strict.Outline(page(shown(case, draft=True), {})).within(_clean_page())


@cache
def _clean_page() -> strict.Outline:
    """A page with all that markup may bring."""
    text = "a *b* **c** `d`\n\n- e\n\n  f\n\n7. g\n\n> h\n\n```i\nj\n```\n\n---\n\nk\\\nl\n\n    m"
    case = next(Library(with_text(text)).cases(budget=BUDGET))
    return strict.Outline(page(shown(case, draft=True), {}))


_PLAIN = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><g id="a"><path d="M0 0h9"/></g></svg>'
_RICH = (
    '<?xml version="1.0"?>\n<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink">'
    '<style>.a { fill: url(#b) }</style><defs><linearGradient id="b"/></defs>'
    '<use xlink:href="#c"/><g id="c" style="fill: red"><text>x</text></g></svg>'
)


def _figure(data: bytes) -> None:
    choices = Choices(data)
    seed = choices.pick((_PLAIN, _RICH, ""))
    drawn = retold(seed, choices, (*DRAWN, *HIDDEN, *NUMBERS)).encode("utf-8", "surrogatepass")
    content = drawn if seed else choices.pick(HEADS) + choices.take(60)
    fault = drawing_fault(content)
    assert fault is None or (fault.line >= 1 and fault.message)
    found = looked_through(content, "figures/a.svg")
    assert found == content or (isinstance(found, Refused) and found.why)
    if fault is None:
        strict.drawing(content)


PAGES = {
    "markup": Surface("CommonMark into HTML", _markup, 2, 100),
    "page": Surface("whole pages made of hostile texts", _page, 10, 10),
    "figure": Surface("drawings and pictures", _figure, 2, 150),
}

"""CommonMark as authors write it, to safe HTML. Raw HTML, links and images are off: they stay plain text."""

from __future__ import annotations

from functools import lru_cache

from markdown_it import MarkdownIt
from markdown_it.rules_core import StateCore
from markdown_it.token import Token
from markupsafe import Markup


@lru_cache(maxsize=1)
def _parser() -> MarkdownIt:
    # Headings are off as well: the outline of a manual is not the author's to break.
    off = ["link", "image", "autolink", "html_inline", "html_block", "reference", "heading", "lheading"]
    parser = MarkdownIt("commonmark", {"html": False}).disable(off)
    parser.core.ruler.push("items_without_paragraphs", _tight)
    return parser


def _tight(state: StateCore) -> None:
    """Set every item of a list as lines: a paragraph in an item has no place among the tags of a PDF."""
    told: list[Token] = []
    depth = 0
    for token in state.tokens:
        depth += {"list_item_open": 1, "list_item_close": -1}.get(token.type, 0)
        if depth and token.type == "paragraph_open" and told[-1].type == "paragraph_close":
            inner = Token("inline", "", 0, children=[Token("hardbreak", "br", 0)])
            told.append(inner)
        if depth and token.type in {"paragraph_open", "paragraph_close"}:
            token.hidden = True
        told.append(token)
    state.tokens = told


def block(text: str) -> Markup:
    """A text that may hold paragraphs and lists."""
    return Markup(_parser().render(text))  # noqa: S704 - the parser escapes all but its own tags


def inline(text: str) -> Markup:
    """A text within a line: emphasis and code only."""
    return Markup(_parser().renderInline(text))  # noqa: S704 - as above

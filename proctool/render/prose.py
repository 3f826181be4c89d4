"""CommonMark as authors write it, to safe HTML. Raw HTML, links and images are off: they stay plain text."""

from __future__ import annotations

from functools import lru_cache

from markdown_it import MarkdownIt
from markupsafe import Markup


@lru_cache(maxsize=1)
def _parser() -> MarkdownIt:
    # Headings are off as well: the outline of a manual is not the author's to break.
    off = ["link", "image", "autolink", "html_inline", "html_block", "reference", "heading", "lheading"]
    return MarkdownIt("commonmark", {"html": False}).disable(off)


def block(text: str) -> Markup:
    """A text that may hold paragraphs and lists."""
    return Markup(_parser().render(text))  # noqa: S704 - the parser escapes all but its own tags


def inline(text: str) -> Markup:
    """A text within a line: emphasis and code only."""
    return Markup(_parser().renderInline(text))  # noqa: S704 - as above

"""What pages and drawings may hold, looked at with parsers of their own: the one browsers go by for HTML, and
the plain one for XML."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from xml.etree.ElementTree import Element, fromstring

import tinyhtml5

_PROSE = {
    **{name: frozenset[str]() for name in ("p", "em", "strong", "pre", "ul", "li", "br", "blockquote", "hr")},
    "ol": frozenset({"start"}),
    "code": frozenset({"class"}),
}
_SHELL = frozenset({"html", "head", "body"})
_ADDRESS = re.compile(r"#|data:(image/(png|jpeg|gif|webp|svg\+xml)|font/woff2);base64,[A-Za-z0-9+/=]*$")
_OUTSIDE = re.compile(r"https?:|javascript:|url\(\s*(?!['\"]?\s*#)|image-set|@import", re.IGNORECASE)


def prose(html: str) -> None:
    """A text that an author wrote: emphasis, code and lists, nothing else."""
    for element in tinyhtml5.parse(html, namespace_html_elements=False).iter():
        if element.tag in _SHELL:
            continue
        assert element.tag in _PROSE, f"{element.tag} in {html!r}"
        assert set(element.keys()) <= _PROSE[element.tag], f"{element.attrib} in {html!r}"
        assert re.fullmatch(r"language-.*", element.get("class", "language-"), re.DOTALL)
        assert re.fullmatch(r"[0-9]*", element.get("start", ""))


class Outline:
    """What can act in a page: its elements with the names of their attributes, and its programs."""

    def __init__(self, html: str) -> None:
        self.kinds: set[tuple[str, str]] = set()
        self.programs: list[str] = []
        for element in tinyhtml5.parse(html, namespace_html_elements=False).iter():
            if not isinstance(element.tag, str):
                continue  # a comment
            self.kinds |= {(element.tag, name) for name in ("", *element.keys())}
            if element.tag == "script":
                self._script(element)
            for name in ("href", "src", "xlink:href", "action", "style"):
                value = element.get(name, "#")
                harmless = not _OUTSIDE.search(value) if name == "style" else _ADDRESS.match(value)
                assert harmless, f"{element.tag} {name}={value[:80]}"

    def _script(self, element: Element) -> None:
        text = element.text or ""
        if element.get("type") == "application/json":
            json.loads(text)
        else:
            self.programs.append(text)

    def within(self, clean: Outline) -> None:
        """Nothing is here that a clean page has not."""
        assert self.kinds <= clean.kinds, self.kinds - clean.kinds
        assert all(program in clean.programs for program in self.programs)


def drawing(content: bytes) -> None:
    """A drawing that is shown: it parses, holds nothing that runs, moves or reaches outside."""
    for element in fromstring(content).iter():  # noqa: S314 - entities are refused before
        tag = element.tag.rpartition("}")[2].lower()
        assert tag not in {
            "script",
            "foreignobject",
            "iframe",
            "object",
            "embed",
            "animate",
            "set",
            "handler",
        }
        for said in _texts(element):
            assert not _OUTSIDE.search(said), said
        for name, value in element.items():
            local = name.rpartition("}")[2].lower()
            assert not local.startswith("on"), name
            assert local not in {"href", "src"} or value.strip().startswith(("#", "data:image/")), value


def _texts(element: Element) -> Iterator[str]:
    if element.tag.endswith("style"):
        yield element.text or ""
    yield element.get("style", "")

"""Drawings (SVG) looked through before they are shown: nothing runs, nothing is fetched from outside.

A drawing goes into pages as it is, so what a browser or a PDF writer would do with it is decided here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree.ElementTree import ParseError

_SVG = "{http://www.w3.org/2000/svg}svg"
_RUNS = frozenset({"script", "handler", "listener"})
_FOREIGN = frozenset({"foreignobject", "iframe", "embed", "object", "audio", "video"})
_MOVES = frozenset({"set", "animate", "animatetransform", "animatemotion", "animatecolor"})
_INSIDE = re.compile(r"\s*(?:#|data:image/(?:png|jpeg|gif|webp)[;,])", re.IGNORECASE)
_OUTSIDE_STYLE = re.compile(
    r"url\(\s*['\"]?\s*(?!['\"#\s])|image-set\(|\bsrc\(|@import|javascript:|\\", re.IGNORECASE
)
"""In a style an address may stand in `url(…)`, and as a bare text in the two others."""
_DEEPEST = 60
"""Elements inside each other."""
_MOST = 20_000
"""Elements of one drawing."""
_MEND = "Draw it with shapes and text of the drawing itself."


@dataclass(frozen=True, slots=True)
class DrawingFault:
    """What keeps a drawing from being shown, as the end of a sentence, and the line it stands on."""

    line: int
    message: str


def drawing_fault(content: bytes) -> DrawingFault | None:
    """The first thing in an SVG file that keeps it from being shown; None for a sound drawing."""
    from defusedxml.common import DefusedXmlException  # noqa: PLC0415 - most libraries have no drawing
    from defusedxml.ElementTree import XMLParser  # noqa: PLC0415

    reader = _Reader()
    parser = XMLParser(target=reader)
    expat = parser.parser
    try:
        parser.feed(content)
        parser.close()
    except _RefusedError as refused:
        return DrawingFault(expat.CurrentLineNumber, str(refused))
    except DefusedXmlException:
        line = expat.CurrentLineNumber
        return DrawingFault(line, "it declares an entity, which could stand for anything. Take it away.")
    except (ParseError, LookupError) as error:
        line = error.position[0] if isinstance(error, ParseError) else 1
        return DrawingFault(line, f"it is no well-formed XML: {str(error).partition(':')[0]}.")
    return None


class _RefusedError(Exception):
    """Leaves the parser with what was found."""


class _Reader:
    """Is told of a drawing element by element."""

    def __init__(self) -> None:
        self._open: list[tuple[str, str]] = []
        """Name and id of each element around."""
        self._count = 0
        self._style: list[str] = []
        self._using: set[str] = set()
        """Ids of elements with a `use` in them."""
        self._used: set[str] = set()
        """Ids that some `use` shows."""

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        """Look at an element and its attributes."""
        local = _local(tag)
        said = {_local(name): value for name, value in attributes.items()}
        self._count += 1
        if wrong := next((w for w in (self._size(tag), _kind(local), *_attributes(said)) if w), None):
            raise _RefusedError(wrong)
        self._open.append((local, said.get("id", "")))
        if local == "use":
            self._using |= {name for _, name in self._open if name}
            self._used.add(said.get("href", "").strip().lstrip("#"))

    def end(self, tag: str) -> None:
        """Leave an element; a style is looked at whole, in however many pieces it came."""
        self._open.pop()
        if _local(tag) == "style":
            if _OUTSIDE_STYLE.search("".join(self._style)):
                raise _RefusedError(f"its style reaches outside of it. {_MEND}")
            self._style.clear()

    def data(self, text: str) -> None:
        """Keep the text of a style: no other can reach outside."""
        if self._open and self._open[-1][0] == "style":
            self._style.append(text)

    def pi(self, target: str, _data: str = "") -> None:
        """Refuse what asks for a style sheet or a program."""
        raise _RefusedError(f"it has the instruction `{target[:20]}`. Take it away.")

    def close(self) -> None:
        """Refuse a `use` of what uses another: a few lines of these draw without end."""
        if self._used & self._using:
            raise _RefusedError("it uses again what itself uses another. Draw one of them out.")

    def _size(self, tag: str) -> str | None:
        if self._count == 1 and tag != _SVG:
            return "its first element is no `svg` with the namespace of SVG."
        if len(self._open) >= _DEEPEST:
            return f"more than {_DEEPEST} elements lie inside each other. Flatten the drawing."
        return f"it has more than {_MOST:,} elements. Make it simpler." if self._count > _MOST else None


def _local(name: str) -> str:
    return name.rpartition("}")[2].lower()


def _kind(local: str) -> str | None:
    if local in _RUNS:
        return f"it has a `{local}`: nothing in a drawing may run. Take it away."
    if local in _FOREIGN:
        return f"it has a `{local}`, which brings in another kind of document. {_MEND}"
    return f"it has a `{local}`: a figure on paper does not move. Take it away." if local in _MOVES else None


def _attributes(said: dict[str, str]) -> Iterator[str]:
    for name, value in said.items():
        if name.startswith("on"):
            yield f"it has `{name}`: nothing in a drawing may run. Take it away."
        elif name in {"href", "src", "base"} and not _INSIDE.match(value):
            shown = value if len(value) <= 40 else value[:39] + "…"
            yield f"it refers to `{shown}`, which is outside of it. {_MEND}"
        elif _OUTSIDE_STYLE.search(value):
            yield f"its `{name}` reaches outside of it. {_MEND}"

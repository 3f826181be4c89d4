"""A file as text and tree at once: what stands where, so that one value can be written anew."""

from __future__ import annotations

import codecs
import re
from bisect import bisect_right
from collections.abc import Iterator
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.model.document import Mapping, Node, Scalar, Sequence
from proctool.model.finding import Finding
from proctool.model.span import Span
from proctool.source.schema import validate
from proctool.source.text import read_text
from proctool.source.yamltree import parse

_BREAK = re.compile(r"\r\n|\r|\n")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One file as it stands. Offsets count its signs from 0, a byte order mark left out."""

    file: str
    text: str
    root: Mapping | None
    """The tree, so far as it could be read."""
    faults: tuple[Finding, ...]
    """What the reader and the schema find wrong."""
    whole: bool
    """Whether nothing is wrong with the tree; its schema may still not be met."""
    starts: tuple[int, ...]
    """Where each line starts."""
    tools: ReadOnly[str, str]
    """The library's tools: what texts call them, by name."""

    def offset(self, line: int, column: int) -> int:
        """Where a place of a span stands in the text; the end of the text where the line is behind it."""
        return (
            min(self.starts[line - 1] + column - 1, len(self.text))
            if line <= len(self.starts)
            else len(self.text)
        )

    def line_of(self, offset: int) -> int:
        """The line, from 1, in which a sign of the text stands."""
        return bisect_right(self.starts, offset)

    def line(self, number: int) -> str:
        """A line, from 1, without its break."""
        end = self.starts[number] if number < len(self.starts) else len(self.text)
        return self.text[self.starts[number - 1] : end].rstrip("\r\n")

    def ends(self, span: Span) -> tuple[int, int]:
        """The first sign of a span, and the one behind it; blank lines behind a text are left out."""
        start, end = self.offset(span.line, span.column), self.offset(span.end_line, span.end_column)
        return start, start + len(self.text[start:end].rstrip())

    def written(self, span: Span) -> str:
        """What stands in a span."""
        start, end = self.ends(span)
        return self.text[start:end]

    @property
    def line_break(self) -> str:
        """What ends the lines of this file."""
        found = _BREAK.search(self.text)
        return found[0] if found else "\n"

    def maps(self) -> Iterator[Mapping]:
        """Every map of the tree, in the order of the file."""
        if self.root is not None:
            yield from _maps(self.root)


def read(file: str, data: bytes, tools: ReadOnly[str, str]) -> Sheet | None:
    """The sheet of a file, or None where it is no text."""
    text, _ = read_text(file, data)
    if text is None:
        return None
    root, faults = parse(file, data)
    whole = root is not None and not faults
    if root is not None and not faults:
        _, faults = validate(file, root)
    starts = (0, *(found.end() for found in _BREAK.finditer(text)))
    return Sheet(file, text, root, faults, whole, starts, tools)


def with_text(sheet: Sheet, text: str) -> Sheet:
    """The same file with another text."""
    changed = read(sheet.file, text.encode(), sheet.tools)
    if changed is None:
        raise RuntimeError("an edit made a text unreadable")
    return changed


def data_of(text: str, before: bytes) -> bytes:
    """The bytes of a text, with a byte order mark where the file had one."""
    return (codecs.BOM_UTF8 if before.startswith(codecs.BOM_UTF8) else b"") + text.encode()


def _maps(node: Node) -> Iterator[Mapping]:
    if isinstance(node, Mapping):
        yield node
        for _, value in node:
            yield from _maps(value)
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from _maps(item)


def rewritten(sheet: Sheet, scalar: Scalar, text: str) -> str | None:
    """A text written in the place and the quotes of another; None where that takes more than its line."""
    old = sheet.written(scalar.span)
    if scalar.plain:
        return text if old == scalar.text else None
    quote = old[:1]
    if quote not in {'"', "'"} or old != f"{quote}{scalar.text}{quote}" or quote in text:
        return None
    return f"{quote}{text}{quote}"

"""A YAML file as read: a tree of nodes that keep every scalar as written, and its place.

Nothing is converted here: `off` is the text `off`, `010` the text `010`. What a scalar must be is said by
the schema of its file, what it means by the stage that reads it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from proctool.model.span import Span


class Kind(StrEnum):
    """What a file of a library is; its first key says so."""

    LIBRARY = "library"
    UNIT = "unit"
    BASE = "base"
    BLOCK = "block"
    PROCEDURE = "procedure"
    PROFILE = "profile"


@dataclass(frozen=True, slots=True)
class Scalar:
    """A text as written. `plain` is False where it was quoted or a block."""

    text: str
    span: Span
    plain: bool = True

    def part(self, start: int, end: int) -> Span:
        """Where a piece of the text stands in its file; the whole text where it runs over several lines."""
        span = self.span
        quotes = 0 if self.plain else 1
        if span.line != span.end_line or span.end_column - span.column != len(self.text) + 2 * quotes:
            return span
        first = span.column + quotes
        return Span(span.file, span.line, first + start, span.line, first + end)


@dataclass(frozen=True, slots=True)
class Sequence:
    """A list."""

    items: tuple[Node, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Mapping:
    """A map with unique keys, in the order of the file."""

    entries: tuple[tuple[Scalar, Node], ...]
    span: Span

    def __contains__(self, key: str) -> bool:
        return any(name.text == key for name, _ in self.entries)

    def __iter__(self) -> Iterator[tuple[Scalar, Node]]:
        return iter(self.entries)

    def get(self, key: str) -> Node | None:
        """The value of `key`, or None."""
        for name, value in self.entries:
            if name.text == key:
                return value
        return None

    def key(self, key: str) -> Scalar | None:
        """The key itself as it stands in the file, or None."""
        for name, _ in self.entries:
            if name.text == key:
                return name
        return None


Node: TypeAlias = Scalar | Sequence | Mapping


@dataclass(frozen=True, slots=True)
class Document:
    """One file of a library that could be read and fits its schema."""

    file: str
    kind: Kind
    name: Scalar
    """The value of the first key: the unit's, block's, procedure's or library's name."""
    root: Mapping


def plain_data(node: Node) -> object:
    """The node as dicts, lists and strings."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [plain_data(item) for item in node.items]
    return {name.text: plain_data(value) for name, value in node.entries}

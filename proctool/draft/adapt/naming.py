"""Where a procedure's file names parts: in keys, in values, in `<name>` of texts, and as plain words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from proctool.model.document import Mapping, Node, Scalar, Sequence
from proctool.model.words import ACT_WORDS, FREE_TEXT_ACTS, THING_ACTS

_NAMES = (ACT_WORDS - THING_ACTS - FREE_TEXT_ACTS) | {
    *("by", "part", "gauge", "read", "opens", "also_off", "fitted", "not_fitted"),
    *("isolators_of", "vents_of", "gauges_of", "runners_of", "keeps_of"),
}
"""Keys whose value names parts, one or a list."""
_GIVEN = frozenset({"with", "each"})
"""Keys whose map has values that name parts."""
_KEYED = frozenset({"needs", "starts", "leaves"})
"""Keys whose map has keys that name parts."""
_NO_WORDS = frozenset({"procedure", "id", "after", "back_to", "use", "file", "units", "revisions", "number"})
"""Keys below which nothing is a text that people read."""


class Kind(StrEnum):
    """How a scalar may name a part."""

    NAME = "name"
    """It is the part's id or tag, whole."""
    TEXT = "text"
    """It may hold `<name>`, and tags as plain words."""


@dataclass(frozen=True, slots=True)
class Place:
    """A scalar that may name a part."""

    scalar: Scalar
    kind: Kind
    anchor: Scalar
    """The first key of the step, or the top key, that it stands in: a comment goes on the line above it."""
    step: Mapping | None = None
    """The step, or group of steps, that it stands in."""
    among: Sequence | None = None
    """The list that it is an item of."""


def places(root: Mapping) -> Iterator[Place]:
    """Every scalar of a procedure's file that may name a part, in file order."""
    for key, value in root:
        if key.text not in _NO_WORDS:
            yield from _Walk(key).below(key, value)


def anchor_at(root: Mapping, line: int) -> Scalar:
    """The first key of the innermost step, else the top key, that a line belongs to."""
    anchor = root.entries[0][0]
    waiting: list[Node] = [root]
    while waiting:
        node = waiting.pop()
        if isinstance(node, Mapping):
            for key, value in node:
                if key.span.line <= line <= value.span.end_line:
                    anchor = key if node is root else anchor
                    waiting.append(value)
        elif isinstance(node, Sequence):
            for item in node.items:
                if item.span.line <= line <= item.span.end_line:
                    if isinstance(item, Mapping) and item.entries:
                        anchor = item.entries[0][0]
                    waiting.append(item)
    return anchor


@dataclass(frozen=True, slots=True)
class _Walk:
    """The walk through a file, and where it is."""

    anchor: Scalar
    step: Mapping | None = None
    among: Sequence | None = None

    def below(self, key: Scalar, value: Node) -> Iterator[Place]:
        """The places in the value of a key."""
        if isinstance(value, Scalar):
            yield self.place(value, Kind.NAME if key.text in _NAMES else Kind.TEXT)
        elif isinstance(value, Sequence):
            for item in value.items:
                if isinstance(item, Mapping) and item.entries:
                    yield from _Walk(item.entries[0][0], item).map(item)
                else:
                    yield from replace(self, among=value).below(key, item)
        elif key.text in _GIVEN:
            for _, named in value:
                yield from self.named(named)
        elif key.text in _KEYED:
            yield from (self.place(name, Kind.NAME) for name, _ in value)
        else:
            yield from self.map(value)

    def map(self, node: Mapping) -> Iterator[Place]:
        """The places in a map."""
        for key, value in node:
            if key.text not in _NO_WORDS:
                yield from self.below(key, value)

    def named(self, node: Node) -> Iterator[Place]:
        """The places in what names parts: a name, a list, or a set such as `{isolators_of: opens}`."""
        if isinstance(node, Scalar):
            yield self.place(node, Kind.NAME)
        elif isinstance(node, Sequence):
            for item in node.items:
                yield from replace(self, among=node).named(item)
        else:
            yield from self.map(node)

    def place(self, scalar: Scalar, kind: Kind) -> Place:
        """The place of a scalar here."""
        return Place(scalar, kind, self.anchor, self.step, self.among)

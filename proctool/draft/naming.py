"""Where a procedure's file names parts: in keys, in values, in `<name>` of texts, and as plain words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
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


def places(root: Mapping) -> Iterator[Place]:
    """Every scalar of a procedure's file that may name a part, in file order."""
    for key, value in root:
        if key.text not in _NO_WORDS:
            yield from _below(key, value, key)


def _below(key: Scalar, value: Node, anchor: Scalar) -> Iterator[Place]:
    """The places in the value of a key."""
    if isinstance(value, Scalar):
        yield Place(value, Kind.NAME if key.text in _NAMES else Kind.TEXT, anchor)
    elif isinstance(value, Sequence):
        for item in value.items:
            if isinstance(item, Mapping):
                yield from _map(item, item.entries[0][0] if item.entries else anchor)
            else:
                yield from _below(key, item, anchor)
    elif key.text in _GIVEN:
        for _, named in value:
            yield from _named(named, anchor)
    elif key.text in _KEYED:
        yield from (Place(name, Kind.NAME, anchor) for name, _ in value)
    else:
        yield from _map(value, anchor)


def _map(node: Mapping, anchor: Scalar) -> Iterator[Place]:
    for key, value in node:
        if key.text not in _NO_WORDS:
            yield from _below(key, value, anchor)


def _named(node: Node, anchor: Scalar) -> Iterator[Place]:
    """A value that names parts: a name, a list, or a set such as `{isolators_of: opens}`."""
    if isinstance(node, Scalar):
        yield Place(node, Kind.NAME, anchor)
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from _named(item, anchor)
    else:
        yield from _map(node, anchor)

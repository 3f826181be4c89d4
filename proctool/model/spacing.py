"""Quantities where a file holds some, and the blank between their number and their measure."""

from __future__ import annotations

import re
from collections.abc import Iterator

from proctool.model.document import Mapping, Node, Scalar, Sequence
from proctool.model.measures import find_measure

HOLDING = frozenset(
    {
        *("normal", "safe", "span", "accuracy", "division", "usual", "tighten"),  # of energies and parts
        *("time", "every", "wait", "for", "within", "reads"),  # of procedures and steps
        *("rows", "round", "also", "soon", "typed"),  # of tables
    }
)
"""Keys whose value is a quantity, a range, a duration, or a list of some."""
NAMING = frozenset({"facts", "fact", "fixed", "leaves_in", "gives_off", "also"})
"""Keys whose value is a map from names to quantities."""
_STATES = frozenset({"conditions", "makes", "needs", "starts", "leaves"})
"""Keys below which every value is a word, whatever it looks like."""
_TIGHT = re.compile(
    r"(?<!\S)([-\N{MINUS SIGN}+]?(?:[0-9]+/[0-9]+|[0-9]+(?:\.[0-9]+)?))([^\s0-9.,/]\S*)(?!\S)"
)
_PLANE_ANGLE = "°"


def spaced(text: str) -> str | None:
    """A text with a blank between each number and its measure; None where none is missing.

    `22Nm` gives `22 N·m`, a symbol in its one spelling. The degree of an angle stands close: `45°`.
    """
    right = _TIGHT.sub(_apart, text)
    return right if right != text else None


def _apart(found: re.Match[str]) -> str:
    number, said = found.groups()
    measure = find_measure(said)
    if measure is None or measure.symbol == _PLANE_ANGLE:
        return found[0]
    return f"{number} {said if measure.plural else measure.symbol}"


def quantities(root: Mapping) -> Iterator[Scalar]:
    """The values of a file at keys that hold quantities, in the order of the file."""
    for key, value in root:
        if key.text in NAMING and isinstance(value, Mapping):
            for _, named in value:
                yield from _scalars(named)
        elif key.text in HOLDING and not isinstance(value, Mapping):
            yield from _scalars(value)
        elif key.text not in _STATES:
            yield from _below(value)


def _below(node: Node) -> Iterator[Scalar]:
    if isinstance(node, Mapping):
        yield from quantities(node)
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from _below(item)


def _scalars(node: Node) -> Iterator[Scalar]:
    if isinstance(node, Scalar):
        yield node
    elif isinstance(node, Sequence):
        for item in node.items:
            yield from _scalars(item)

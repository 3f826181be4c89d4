"""What stands at the keys of a node: the accessors that decoding goes by."""

from __future__ import annotations

from proctool.model.document import Mapping, Node, Scalar, Sequence


def items_of(node: Node | None) -> tuple[Node, ...]:
    """The items of a list; one thing alone is a list of one."""
    if node is None:
        return ()
    return node.items if isinstance(node, Sequence) else (node,)


def scalars_in(node: Node | None) -> tuple[Scalar, ...]:
    """The texts of a text or a list."""
    return tuple(item for item in items_of(node) if isinstance(item, Scalar))


def scalar_at(node: Mapping, key: str) -> Scalar | None:
    """The text at a key, with its place, or None."""
    value = node.get(key)
    return value if isinstance(value, Scalar) else None


def text_at(node: Mapping, key: str) -> str | None:
    """The text at a key, or None."""
    value = scalar_at(node, key)
    return value.text if value is not None else None


def true_at(node: Mapping, key: str) -> bool:
    """Whether a key says `true`."""
    return (text_at(node, key) or "").lower() == "true"


def mapping_at(node: Mapping, key: str) -> Mapping | None:
    """The map at a key, or None."""
    value = node.get(key)
    return value if isinstance(value, Mapping) else None


def entries_at(node: Mapping, key: str) -> tuple[tuple[Scalar, Node], ...]:
    """The entries of the map at a key; none where there is no map."""
    value = mapping_at(node, key)
    return value.entries if value is not None else ()

"""Names, tags and titles: what people tell things apart by, and what files are called after."""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.document import Kind, Mapping, Node, Scalar, Sequence
from proctool.model.finding import Finding, file_fault
from proctool.source.text import hidden_in_tag, shortened

_FILED = frozenset({Kind.UNIT, Kind.PROCEDURE})
"""Kinds whose names become names of files and folders."""
_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}
)
"""What Windows takes for a device, whatever the ending (Microsoft, *Naming Files, Paths, and Namespaces*;
from memory). Libraries and manuals go from one machine to another."""
_ONE_LINE = frozenset({"library", "title", "name", "tag", "number"})
"""Keys whose texts stand in a list, a head or a row."""


def name_faults(kind: Kind, root: Mapping) -> Iterator[Finding]:
    """Names that no file can have everywhere, titles of several lines, tags with what nobody sees."""
    name = root.entries[0][1] if root.entries else None
    if kind in _FILED and isinstance(name, Scalar) and name.text.casefold() in _DEVICES:
        message = (
            f"No file on Windows can be called `{name.text}`: it is the name of a device. Choose another."
        )
        yield file_fault("file/schema", message, name.span)
    waiting: list[Node] = [root]
    while waiting:
        node = waiting.pop()
        if isinstance(node, Sequence):
            waiting += node.items
        elif isinstance(node, Mapping):
            waiting += (value for _, value in node)
            for key, value in node:
                if isinstance(value, Scalar) and key.text in _ONE_LINE:
                    yield from _seen_whole(key.text, value)


def _seen_whole(key: str, value: Scalar) -> Iterator[Finding]:
    text = value.text.removesuffix("\n")  # what YAML leaves at the end of a text written below its key
    if not set("\n\r\t").isdisjoint(text):
        message = f"`{key}` is one line; found a line break or a tab in it. Write the text without it."
        yield file_fault("file/schema", message, value.span)
    elif key == "tag" and (hidden := hidden_in_tag(text)):
        message = f"The tag `{shortened(text)}` holds a sign that nobody sees ({hidden}); delete it."
        yield file_fault("file/schema", message, value.span)

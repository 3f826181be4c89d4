"""What is wrong with the text of a table: noted one by one, each with its place."""

from __future__ import annotations

from collections.abc import Iterable

from proctool.model.document import Mapping, Node, Scalar, Sequence
from proctool.model.nearest import did_you_mean
from proctool.model.rows import TableFault
from proctool.model.span import Span
from proctool.tables.expression import FormulaFault

_SHORT = 24


class Faults:
    """A list that faults are noted in; the same one is noted once."""

    def __init__(self) -> None:
        self._found: dict[TableFault, None] = {}

    def __bool__(self) -> bool:
        return bool(self._found)

    def all(self) -> tuple[TableFault, ...]:
        """What was noted, in the order of the file."""
        return tuple(sorted(self._found, key=lambda f: (f.span, f.kind, f.message)))

    def has(self, kind: str, span: Span) -> bool:
        """Whether one of a kind was noted at a place."""
        return any(fault.kind == kind and fault.span == span for fault in self._found)

    def note(self, kind: str, message: str, span: Span, *, help: str | None = None) -> None:
        """Note one fault."""
        self._found[TableFault(kind, message, span, help)] = None

    def schema(self, message: str, span: Span) -> None:
        """Note something that has not the shape of a table."""
        self.note("file/schema", message, span)

    def quantity(self, message: str, span: Span) -> None:
        """Note a number that cannot be read or worked out."""
        self.note("file/quantity", message, span)

    def measures(self, message: str, span: Span) -> None:
        """Note kinds that do not go together."""
        self.note("tables/measures", message, span)

    def unknown(self, name: Scalar, what: str, known: Iterable[str]) -> None:
        """Note a name that does not exist, with the nearest that does."""
        message = f"`{name.text}` is no {what}.{did_you_mean(name.text, known)}"
        self.note("graph/unknown-name", message, name.span)

    def formula(self, text: Scalar, fault: FormulaFault, where: str = "") -> None:
        """Note a fault of a formula, at its place in the file."""
        piece = text.text[fault.at : fault.end].strip()
        piece = piece if len(piece) <= _SHORT else piece[: _SHORT - 1] + "…"
        place = f"At character {fault.at + 1}" + (f", `{piece}`" if piece else "")
        end = "" if fault.message.endswith(("?", ".")) else "."
        self.note(fault.kind, f"{place}{where}: {fault.message}{end}", inside(text, fault.at, fault.end))


def inside(text: Scalar, at: int, end: int) -> Span:
    """Where a piece of a text stands in its file; the whole text where that cannot be told.

    It can be told for a text on one line that stands there as it is read, in quotes or not.
    """
    span = text.span
    width = span.end_column - span.column
    if span.line != span.end_line or width not in {len(text.text), len(text.text) + 2}:
        return span
    start = span.column + (width - len(text.text)) // 2
    at, end = min(at, len(text.text)), min(end, len(text.text))
    return Span(span.file, span.line, start + at, span.line, start + max(end, at + 1))


def scalar(node: Mapping | None, key: str) -> Scalar | None:
    """The text of a key, or None."""
    value = node.get(key) if node is not None else None
    return value if isinstance(value, Scalar) else None


def entries(node: Mapping, key: str) -> tuple[tuple[Scalar, Node], ...]:
    """The entries of a map under a key; none where there is no map."""
    value = node.get(key)
    return value.entries if isinstance(value, Mapping) else ()


def items(node: Node | None) -> tuple[Node, ...]:
    """The items of a list; one thing alone is a list of one."""
    if node is None:
        return ()
    return node.items if isinstance(node, Sequence) else (node,)

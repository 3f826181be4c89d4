"""One table being read for one unit: its text, what its names stand for, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Mapping as ReadOnly
from enum import StrEnum
from fractions import Fraction
from typing import TypeVar

from proctool.model.document import Mapping, Node, Scalar
from proctool.model.measures import find_measure
from proctool.model.quantity import Quantity, parse
from proctool.model.quantity import dimension as kind_of
from proctool.model.rows import Gauge
from proctool.model.span import Span
from proctool.model.unit import Unit
from proctool.model.words import Role
from proctool.tables.dimension import factor, from_base, to_base
from proctool.tables.faults import Faults, entries, items, scalar
from proctool.tables.formula import FUNCTIONS
from proctool.tables.gauges import read_gauge
from proctool.tables.rounding import rounded_step

_Word = TypeVar("_Word", bound=StrEnum)


class Sheet:
    """What the columns of a table share."""

    def __init__(
        self, name: Scalar, node: Mapping, unit: Unit, shows: ReadOnly[str, tuple[str, ...]], faults: Faults
    ) -> None:
        self.name, self.node, self.unit, self.faults = name, node, unit, faults
        self.shows = {
            kind: [m.symbol for m in map(find_measure, texts) if m is not None and m.dimension == kind]
            for kind, texts in shows.items()
        }
        self.texts = _texts_of(unit)
        """Facts of the unit and properties of its parts, as written."""
        self.values: dict[str, Quantity] = {}
        """What names stand for, those of readings apart."""
        self.kinds: dict[str, str] = {}
        """The kind of each name that formulas may use."""
        self._gauges: dict[str, Gauge] = {}
        for key, what in self._hidden():
            faults.note("graph/hidden-name", f"`{key.text}` hides {what}. Choose another name.", key.span)
        for key, value in entries(node, "fixed"):
            quantity = self.quantity(value)
            if quantity is not None:
                self.values[key.text] = quantity
                self.kinds[key.text] = kind_of(quantity.measure)

    def names(self, group: str) -> list[str]:
        """The names under a key of the table."""
        return [key.text for key, _ in entries(self.node, group)]

    def _hidden(self) -> Iterator[tuple[Scalar, str]]:
        """Names of the table that stand for something else already, and for what."""
        seen: set[str] = set()
        for group in ("readings", "answer", "fixed"):
            for key, _ in entries(self.node, group):
                if key.text in seen:
                    yield key, "another name of this table"
                elif key.text in FUNCTIONS:
                    yield key, "a function"
                elif key.text in self.unit.facts:
                    yield key, f"a fact of unit {self.unit.id}"
                seen.add(key.text)

    def quantity(self, node: Node) -> Quantity | None:
        """The quantity that a text says; what is none is noted."""
        if not isinstance(node, Scalar):
            self.faults.schema("Expected a quantity such as `4.0 bar` here.", node.span)
            return None
        found = parse(node.text)
        if isinstance(found, str):
            self.faults.quantity(found, node.span)
            return None
        return found

    def gauge(self, node: Mapping | None) -> Gauge | None:
        """The gauge of a column, by id or tag; one that does not exist is noted."""
        name = scalar(node, "gauge")
        if name is None:
            return None
        part = self.unit.parts.get(name.text) or self.unit.tagged(name.text)
        if part is None or part.role is not Role.GAUGE:
            gauges = [p for p in self.unit.parts.values() if p.role is Role.GAUGE]
            known = [word for p in gauges for word in (p.id, p.tag) if word]
            self.faults.unknown(name, f"gauge of unit {self.unit.id}", known)
            return None
        if part.id not in self._gauges:
            self._gauges[part.id] = read_gauge(part, self.faults.quantity)
        return self._gauges[part.id]

    def also(self, node: Mapping | None, measure: str, finest: Fraction) -> dict[str, Fraction]:
        """The other measures that a column is shown in, each with its step.

        Those of `also` have their own; those that only the library shows get the largest of 1, 2, 5, 10 ...
        that is not above `finest`, which is in the column's measure.
        """
        found = {}
        for text in items(node.get("also") if node is not None else None):
            own = self.quantity(text)
            if own is None:
                continue
            if own.value <= 0:
                self.faults.quantity(f"A step is more than 0; found `{own}`.", text.span)
            elif self.same_kind(own.measure, measure, "`also` and the column", text.span):
                found[own.measure] = Fraction(own.value)
        for other in self.shows.get(kind_of(measure), ()):
            if other not in {measure, *found}:
                found[other] = rounded_step(finest * factor(measure) / factor(other))
        return found

    def same_kind(self, measure: str, other: str, what: str, span: Span) -> bool:
        """Whether two measures are of one kind; else it is noted."""
        kinds = [kind_of(symbol).replace("_", " ") for symbol in (measure, other)]
        if kinds[0] != kinds[1]:
            message = f"{what[:1].upper()}{what[1:]} do not agree: {kinds[0]} and {kinds[1]}."
            self.faults.measures(message, span)
        return kinds[0] == kinds[1]

    def word(self, node: Node | None, words: type[_Word]) -> _Word | None:
        """One of a few words; another one is noted."""
        if node is None:
            return None
        known = [word.value for word in words]
        if isinstance(node, Scalar) and node.text in known:
            return words(node.text)
        self.faults.schema(f"Expected one of {', '.join(known)} here.", node.span)
        return None


def title_of(name: str, node: Mapping | None, gauge: Gauge | None) -> str:
    """The heading of a column: its title, else its gauge, else its name."""
    title = scalar(node, "title")
    if title is not None:
        return title.text
    return gauge.label if gauge is not None else name.replace("_", " ").replace("-", " ")


def converted(number: Fraction, measure: str, other: str) -> Fraction:
    """A number of a measure in another measure of its kind."""
    return number if measure == other else from_base(to_base(number, measure), other)


def _texts_of(unit: Unit) -> dict[str, str]:
    """Facts by name and properties of parts as `part.property`, as written."""
    found = {
        f"{part.id}.{key.text}": value.text
        for part in unit.parts.values()
        for key, value in part.properties
        if isinstance(value, Scalar)
    }
    return {**found, **unit.facts}

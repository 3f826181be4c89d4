"""What no schema can say of values: measures that exist, durations of time, tables that are in the file."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date

from proctool.model.document import Kind, Mapping, Node, Scalar, Sequence
from proctool.model.duration import duration_fault
from proctool.model.finding import Finding, file_fault
from proctool.model.measures import DIMENSIONS, find_measure, spellings
from proctool.model.nearest import did_you_mean
from proctool.source.nodes import items_of
from proctool.source.text import shortened

_DAY = re.compile(r"[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])")


def value_faults(kind: Kind, root: Mapping) -> Iterator[Finding]:
    """Faults in the values of one file."""
    if kind is Kind.LIBRARY:
        yield from _shown(root.get("shows"))
    elif kind is Kind.PROCEDURE:
        yield from _duration(root.get("time"))
        yield from _due(root)
        for key in ("revisions", "inspections"):
            for item in items_of(root.get(key)):
                yield from _day(item.get("date") if isinstance(item, Mapping) else None)
    elif kind is Kind.UNIT and isinstance(checked := root.get("checked"), Mapping):
        yield from _day(checked.get("date"))


def _shown(shows: Node | None) -> Iterator[Finding]:
    """Measures in which a library wants quantities shown: each exists and is of the kind it stands under."""
    for dimension, value in shows.entries if isinstance(shows, Mapping) else ():
        for text in value.items if isinstance(value, Sequence) else (value,):
            if not isinstance(text, Scalar):
                continue
            measure = find_measure(text.text)
            said = shortened(text.text)
            if measure is None:
                near = did_you_mean(text.text, spellings())
                message = f"`{said}` is not a measure that is known here.{near}"
                yield file_fault("file/quantity", message, text.span)
            elif measure.dimension != dimension.text and dimension.text in DIMENSIONS:
                message = f"`{said}` stands under `{dimension.text}` and belongs under `{measure.dimension}`."
                yield file_fault("file/quantity", message, text.span)


def _due(root: Mapping) -> Iterator[Finding]:
    """Intervals that can be read, and tables that this procedure has."""
    due, tables = root.get("due"), root.get("tables")
    known = [key.text for key, _ in tables] if isinstance(tables, Mapping) else []
    for item in due.items if isinstance(due, Sequence) else ():
        if not isinstance(item, Mapping):
            continue
        yield from _duration(item.get("every"))
        name = item.get("table")
        if isinstance(name, Scalar) and name.text not in known:
            near = did_you_mean(name.text, known)
            message = f"There is no table `{shortened(name.text)}` in this procedure.{near}"
            yield file_fault("graph/unknown-name", message, name.span)


def _day(text: Node | None) -> Iterator[Finding]:
    """A day that no calendar has, such as the 30th of February."""
    if isinstance(text, Scalar) and _DAY.fullmatch(text.text):
        try:
            date.fromisoformat(text.text)
        except ValueError:
            yield file_fault("file/schema", f"`{text.text}` is no day of the calendar.", text.span)


def _duration(text: Node | None) -> Iterator[Finding]:
    if isinstance(text, Scalar) and (wrong := duration_fault(text.text)) is not None:
        yield file_fault("file/quantity", wrong, text.span)

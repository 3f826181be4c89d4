"""A table given in a few texts, not in a file: as it would stand under its name in a procedure."""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, field

from proctool.model.document import Mapping, Node, Scalar, Sequence
from proctool.model.span import Span
from proctool.model.unit import Unit

_START = Span("", 1, 1, 1, 1)

NO_UNIT = Unit(id="", title="", file="", span=_START, energies={}, parts={}, lines={}, facts={})
"""For tables that ask nothing of a unit."""


@dataclass(frozen=True, slots=True)
class Given:
    """A table as texts. What stands empty is not said; names and texts mean what they mean in a procedure."""

    formula: str
    answer: str
    """Name of the answer."""
    readings: ReadOnly[str, str]
    """Rows by name: `2.0 to 6.0 bar by 0.5 bar`."""
    fixed: ReadOnly[str, str] = field(default_factory=dict)
    gauges: ReadOnly[str, str] = field(default_factory=dict)
    """Id or tag of the gauge of a reading or the answer, by name."""
    also: tuple[str, ...] = ()
    """Steps of other measures in which the answer is told as well."""
    round: str = ""
    due: str = ""
    safe_side: str = ""
    least: str = ""
    most: str = ""
    soon: str = ""
    guard: bool = False
    title: str = ""
    condition: str = ""


def written(given: Given) -> tuple[Scalar, Mapping]:
    """Name and content of the table. Each text's place is the option that says it, as if it were a file."""
    answer = _map(
        ("is", _text("--formula", given.formula)),
        ("gauge", _text("--gauge", given.gauges.get(given.answer, ""))),
        ("round", _text("--round", given.round)),
        ("least", _text("--least", given.least)),
        ("most", _text("--most", given.most)),
        (
            "also",
            Sequence(tuple(_text("--also", text) for text in given.also), _START) if given.also else None,
        ),
    )
    readings = [(name, _reading(given, name, rows)) for name, rows in given.readings.items()]
    fixed = [(name, _text(f"--fixed {name}", text)) for name, text in given.fixed.items()]
    due = [(given.answer, _text("--due", given.due))] if given.due else []
    node = _map(
        ("title", _text("--title", given.title or f"{given.answer.replace('_', ' ')} = {given.formula}")),
        ("while", _text("--while", given.condition)),
        ("readings", _map(*readings, option="--reading") if readings else None),
        ("answer", _map((given.answer, answer), option="--formula")),
        ("fixed", _map(*fixed, option="--fixed") if fixed else None),
        ("due_when", _map(*due, option="--due") if due else None),
        ("safe_side", _text("--safe-side", given.safe_side)),
        ("soon", _text("--soon", given.soon)),
        ("guard", _text("--guard", "true" if given.guard else "")),
    )
    return _key("table", "--formula"), node


def _reading(given: Given, name: str, rows: str) -> Mapping:
    gauge = _text("--gauge", given.gauges.get(name, ""))
    return _map(("rows", _text(f"--reading {name}", rows)), ("gauge", gauge))


def _text(option: str, text: str) -> Scalar:
    return Scalar(text, Span(option, 1, 1, 1, 1 + len(text)))


def _key(name: str, option: str) -> Scalar:
    return Scalar(name, Span(option, 1, 1, 1, 1))


def _map(*entries: tuple[str, Node | None], option: str = "") -> Mapping:
    """A map of what is said; an empty text says nothing."""
    said = [(k, v) for k, v in entries if v is not None and not (isinstance(v, Scalar) and not v.text)]
    return Mapping(tuple((_key(name, option), value) for name, value in said), _START)

"""Tables and units from short texts, read by the same reader as the files of a library."""

from __future__ import annotations

from fractions import Fraction

from proctool.api import Library
from proctool.model.document import Mapping
from proctool.model.quantity import Quantity, parse
from proctool.model.rows import Outcome, Table, TableFault
from proctool.model.unit import Unit
from proctool.source.yamltree import parse as tree
from proctool.tables import compute

SHOWS: dict[str, tuple[str, ...]] = {
    "pressure": ("bar", "psi"),
    "torque": ("N·m", "lbf·ft"),
    "temperature": ("°C", "°F"),
}
BAR_GAUGE = "span: 10 bar, accuracy: 1.6 %, division: 0.1 bar, usual: 2.0 to 6.0 bar"
FACTS = "restart: 10 s, colour: blue"


def unit(first: str = BAR_GAUGE, second: str | None = None, *, facts: str = FACTS) -> Unit:
    """A unit with two gauges: `before` (P1) and `after` (P2)."""
    text = f"""\
unit: T
title: Test rig
energies:
  water: {{form: liquid_pressure, normal: 4.0 bar, safe: 0 bar}}
parts:
  supply: {{role: source, name: main}}
  housing: {{role: component, name: housing, tighten: 22 N·m}}
  last: {{role: component, name: last housing}}
  before: {{role: gauge, name: inlet gauge, tag: P1, at: housing, energy: water, {first}}}
  after: {{role: gauge, name: outlet gauge, tag: P2, at: last, energy: water, {second or first}}}
lines:
  main: {{energy: water, path: [supply, housing, last]}}
facts: {{{facts}}}
"""
    units = Library.from_texts({"library.yaml": "library: Tests\n", "units/t.yaml": text}).units
    assert units.findings == ()
    return units.whole["T"]


def node(text: str) -> Mapping:
    """The map that a text says."""
    root, findings = tree("p.yaml", text.encode())
    assert root is not None and findings == ()
    return root


def outcome(text: str, on: Unit | None = None, shows: dict[str, tuple[str, ...]] | None = None) -> Outcome:
    """What is made of a table named `t`, written as a map; indented by the helper."""
    whole = node("t:\n" + "".join(f"  {line}\n" for line in text.splitlines()))
    name, value = whole.entries[0]
    assert isinstance(value, Mapping)
    return compute(name, value, on or unit(), {} if shows is None else shows)


def table(text: str, on: Unit | None = None, shows: dict[str, tuple[str, ...]] | None = None) -> Table:
    """The table, which there must be."""
    made = outcome(text, on, shows)
    assert isinstance(made, Table), made
    return made


def faults(text: str, on: Unit | None = None) -> tuple[TableFault, ...]:
    """Why there is no table, which there must not be."""
    made = outcome(text, on)
    assert not isinstance(made, Table)
    return made


def value(formula: str, measure: str, fixed: str = "") -> Fraction:
    """What a formula gives, exact, in a measure."""
    extra = f"fixed: {{{fixed}}}\n" if fixed else ""
    made = table(f"answer: {{a: {{is: '{formula}', round: nearest 1 {measure}}}}}\n{extra}safe_side: low\n")
    (row,) = made.rows
    assert row.answers[0].exact
    return row.answers[0].value.value


def quantity(text: str) -> Quantity:
    """The quantity that a text says."""
    found = parse(text)
    assert isinstance(found, Quantity), found
    return found

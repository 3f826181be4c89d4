"""Small units written on a few lines, for tests of the energy network."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from proctool.model.document import Mapping
from proctool.model.span import Span
from proctool.model.unit import Energy, Line, Part, Unit
from proctool.model.words import Depth, Device, Form, Lock, Position, Role
from proctool.network.reach import Network

SPAN = Span("unit.yaml", 1, 1, 1, 1)
NOTHING = Mapping((), SPAN)

Fields = dict[str, Any]
"""By name: one word (form or role), or the fields of an energy or a part."""

WATER: Fields = {"water": "liquid_pressure"}


def energy(name: str, said: str | Fields) -> Energy:
    """An energy from its form, or from its fields."""
    fields: dict[str, Any] = {"form": said} if isinstance(said, str) else dict(said)
    fields["form"] = Form(fields["form"])
    fields["depth"] = Depth(fields.get("depth", "single"))
    return Energy(id=name, span=SPAN, name=name, **fields)


def part(name: str, said: str | Fields) -> Part:
    """A part from its role, or from its fields; `normal: off` and `lock: none` are written as words."""
    fields: dict[str, Any] = {"role": said} if isinstance(said, str) else dict(said)
    fields["role"] = Role(fields["role"])
    if fields["role"] is Role.ISOLATOR:
        fields["device"] = Device(fields.get("device", "valve"))
        fields["lock"] = Lock(fields.get("lock", "hasp"))
        fields["normal"] = Position(fields.get("normal", "on"))
    fields["keeps"] = frozenset(fields.get("keeps", ()))
    fields["near"] = tuple(fields.get("near", ()))
    fields["normally_running"] = fields.get("normally_running", "runs" in fields)
    return Part(id=name, span=SPAN, name=name, properties=NOTHING, **fields)


def unit(
    energies: Fields,
    parts: Fields,
    lines: Sequence[str],
) -> Unit:
    """A unit. A line is written `energy [energy ...]: part part ...`."""
    made = {}
    for i, text in enumerate(lines, 1):
        carried, path = text.split(":")
        made[f"l{i}"] = Line(f"l{i}", tuple(carried.split()), tuple(path.split()), SPAN)
    return Unit(
        id="TEST",
        title="Test unit",
        file="unit.yaml",
        span=SPAN,
        energies={name: energy(name, said) for name, said in energies.items()},
        parts={name: part(name, said) for name, said in parts.items()},
        lines=made,
        facts={},
    )


def network(
    energies: Fields,
    parts: Fields,
    lines: Sequence[str],
) -> Network:
    """The network of a unit written like `unit`."""
    return Network(unit(energies, parts, lines))


def water(parts: Fields, *paths: str) -> Network:
    """A network with water alone; `parts` or first letters say the roles: valve, source, component, drain."""
    named = [name for path in paths for name in path.split()]
    roles = {"v": "isolator", "s": "source", "c": "component", "d": "vent"}
    every: Fields = {name: roles[name[0]] for name in named if name not in parts}
    order = {name: {**every, **parts}[name] for name in dict.fromkeys([*parts, *named])}
    return network(WATER, order, [f"water: {path}" for path in paths])

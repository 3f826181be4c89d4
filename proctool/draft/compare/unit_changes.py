"""What two units, or two states of one unit file, differ in."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from collections.abc import Mapping as ReadOnly
from typing import TypeVar

from proctool.model.comparison import Difference
from proctool.model.document import Node, Scalar, plain_data
from proctool.model.unit import Energy, Line, Part, Unit


def unit_changes(old: Unit, new: Unit, same: ReadOnly[str, str] | None = None) -> tuple[Difference, ...]:
    """Energies, parts, lines and facts that one has alone, and what the others say otherwise.

    `same` says which part of the first stands for which of the second; others keep their name.
    """
    names = same or {}
    renamed = {names.get(part.id, part.id): part for part in old.parts.values()}
    return (
        *_said("unit", _unit(old), _unit(new)),
        *_entries("energy", {e.id: _energy(e) for e in old.energies.values()}, new.energies, _energy),
        *_entries("part", {name: _part(part, names) for name, part in renamed.items()}, new.parts, _part),
        *_entries("line", {line.id: _line(line, names) for line in old.lines.values()}, new.lines, _line),
        *_said("fact", dict(old.facts), dict(new.facts)),
    )


Said = dict[str, str]
"""What a file says of one thing, in words, by the name it says it under."""
_Entry = TypeVar("_Entry")


def _entries(
    kind: str, old: ReadOnly[str, Said], new: ReadOnly[str, _Entry], say: Callable[[_Entry], Said]
) -> Iterator[Difference]:
    """One difference for each entry on one side alone, and for each thing that is said otherwise of one."""
    told = {name: say(entry) for name, entry in new.items()}
    for name in (*old, *(name for name in told if name not in old)):
        if name not in told or name not in old:
            was, now = (_whole(side[name]) if name in side else "" for side in (old, told))
            yield Difference(f"{kind} {name}", was, now)
        else:
            yield from _said(f"{kind} {name}", old[name], told[name])


def _said(what: str, old: Said, new: Said) -> Iterator[Difference]:
    for name in (*old, *(name for name in new if name not in old)):
        was, now = old.get(name, ""), new.get(name, "")
        if was != now:
            yield Difference(f"{what}, {name.replace('_', ' ')}" if name else what, was, now)


def _whole(said: Said) -> str:
    words = (value if name == "role" else f"{name.replace('_', ' ')} {value}" for name, value in said.items())
    return ", ".join(words)


def _unit(unit: Unit) -> Said:
    return {"title": unit.title, "lockout": unit.control.value.replace("_", " ")}


def _energy(energy: Energy) -> Said:
    warning = energy.warning
    said = {
        "form": energy.form.value.replace("_", " "),
        "name": energy.name,
        "normal": energy.normal,
        "safe": energy.safe,
        "isolation": energy.depth.value.replace("_", " "),
        "brought": "yes" if energy.brought else "",
        "medium": energy.medium,
        "warning": f"{warning.word}: {warning.hazard} {warning.harm} {warning.avoid}" if warning else "",
    }
    return {name: value for name, value in said.items() if value}


def _part(part: Part, same: ReadOnly[str, str] | None = None) -> Said:
    said = {key.text: _text(value) for key, value in part.properties}
    names = same or {}
    if part.at is not None:
        said["at"] = names.get(part.at, part.at)
    if part.near:
        said["near"] = ", ".join(names.get(name, name) for name in part.near)
    return {"role": part.role.value.replace("_", " "), "name": part.name, **said}


def _line(line: Line, same: ReadOnly[str, str] | None = None) -> Said:
    names = same or {}
    path = " → ".join(names.get(part, part) for part in line.path)
    return {"energy": ", ".join(line.energies), "path": path}


def _text(node: Node) -> str:
    if isinstance(node, Scalar):
        return node.text
    data = plain_data(node)
    if isinstance(data, dict):
        return ", ".join(f"{key} {value}" for key, value in data.items())
    return ", ".join(map(str, data)) if isinstance(data, list) else str(data)

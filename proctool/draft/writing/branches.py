"""What is joined to a unit besides its row or its base: bypasses, and tanks with an air charge."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from proctool.draft.writing.entries import Fields, Named, energy_entry, line, valve, where
from proctool.model.nearest import did_you_mean
from proctool.model.unit import Energy, Part, Unit
from proctool.model.words import KEPT_BY_ALL, Form, Role


@dataclass(frozen=True, slots=True)
class Branches:
    """Entries of a unit file: energies as text, parts with what is said of them, lines as text by name."""

    energies: tuple[str, ...] = ()
    parts: tuple[tuple[str, Fields], ...] = ()
    lines: tuple[tuple[str, str], ...] = ()


def branches(unit: Unit, bypasses: Iterable[Named], tanks: Iterable[Named]) -> Branches:
    """Bypasses and tanks that are told, joined to a unit.

    Each carries all that a pipe can carry from where it is joined. A tank keeps its liquid until its air is
    let out, and what is wet there counts as near all that is electric: who walks the unit may say less.

    Raises:
        ValueError: no part of that name is there to be joined to, nothing runs there, or a new entry would
            have the name of one that is there; the text says what to do.
    """
    hung = [(tank, at := _part(unit, tank.has["at"][1]), _liquid(unit, tank, at)) for tank in tanks]
    if len({liquid.id for _, _, liquid in hung}) > 1:
        raise ValueError("The air of tanks with two liquids has two pressures: write one tank by hand.")
    air = "tank_air" if "air" in unit.energies else "air"
    joined = [_bypass(unit, bypass) for bypass in bypasses]
    joined += [_tank(unit, tank, at, liquid, air) for tank, at, liquid in hung]
    parts = tuple(part for branch in joined for part in branch.parts)
    lines = tuple(entry for branch in joined for entry in branch.lines)
    _must_be_new("part", [*unit.parts, *(name for name, _ in parts)], unit)
    _must_be_new("line", [*unit.lines, *(name for name, _ in lines)], unit)
    return Branches(tuple(energy_entry(air, _charge(hung[0][2]), _AIR)) if hung else (), parts, lines)


def _bypass(unit: Unit, bypass: Named) -> Branches:
    ends = [_part(unit, bypass.has[word][1]) for word in ("from", "to")]
    if ends[0] is ends[1]:
        raise ValueError(f"`{bypass.name}`: it ends where it begins, at the {ends[0].label}.")
    both = [energy.id for energy in _piped(unit, ends[0]) if energy in _piped(unit, ends[1])]
    if not both:
        labels = " and ".join(part.label for part in ends)
        raise ValueError(f"`{bypass.name}`: nothing that a pipe can carry runs through both {labels}.")
    devices = tuple(_valve(bypass))
    path = [ends[0].id, *(name for name, _ in devices), ends[1].id]
    return Branches((), devices, ((bypass.id, line(bypass.id, both, path)),))


def _tank(unit: Unit, tank: Named, at: Part, liquid: Energy, air: str) -> Branches:
    devices = tuple(_valve(tank))
    names = f"{tank.id}_branch", f"{tank.id}_charge"
    path = [at.id, *(name for name, _ in devices), tank.id]
    branch = line(names[0], [energy.id for energy in _piped(unit, at)], path)
    charge = line(names[1], [air], [f"{tank.id}_air_valve", tank.id])
    return Branches((), (*devices, *_kept(unit, tank, liquid)), ((names[0], branch), (names[1], charge)))


def _must_be_new(what: str, names: Iterable[str], unit: Unit) -> None:
    """An entry under a name that is there would change that one."""
    twice = next((name for name, many in Counter(names).items() if many > 1), None)
    if twice is not None:
        raise ValueError(f"{unit.id} has a {what} `{twice}` already: choose another name.")


_AIR = (
    "warning",
    "Compressed air in a tank.",
    "The tank can burst open and injure you.",
    "Open a tank only after its zero is verified for what is in it and for air.",
)


def _charge(liquid: Energy) -> Fields:
    """The air presses on the liquid, so both have the same pressure."""
    return (
        ("name", "tank air"),
        ("form", Form.GAS_PRESSURE.value),
        ("normal", liquid.normal),
        ("safe", "0 bar"),
    )


def _kept(unit: Unit, tank: Named, liquid: Energy) -> Iterator[tuple[str, Fields]]:
    electric = {e.id for e in unit.energies.values() if e.form is Form.ELECTRICITY}
    fed = {name for run in unit.lines.values() if electric & set(run.energies) for name in run.path}
    near = ", ".join(name for name, part in unit.parts.items() if name in fed and part.holder)
    said = ("role", "store"), ("name", tank.name), ("keeps", f"[{liquid.id}]"), ("near", f"[{near}]")
    yield tank.id, said
    vent = ("role", "vent"), ("name", f"{tank.name} air valve"), *where(tank.has["air"]), ("to", "room air")
    yield f"{tank.id}_air_valve", vent
    if "gauge" in tank.has:
        gauge = (("role", "gauge"), ("name", f"{tank.name} gauge"), *where(tank.has["gauge"]),
                 ("at", tank.id), ("energy", liquid.id))  # fmt: skip
        yield f"{tank.id}_gauge", gauge


def _valve(branch: Named) -> Iterator[tuple[str, Fields]]:
    if "valve" in branch.has:
        yield f"{branch.id}_valve", valve(f"{branch.name} valve", branch.has["valve"])


def _part(unit: Unit, word: str) -> Part:
    """A part of the unit that something is joined to, by its id, its tag or a name that no other part has.

    What can be shut has two sides, and energy may stand on one of them: which is meant cannot be guessed.
    """
    named = [part for part in unit.parts.values() if part.name == word]
    part = unit.parts.get(word) or unit.tagged(word) or (named[0] if len(named) == 1 else None)
    if part is None:
        near = did_you_mean(word, unit.parts) or f" It has {', '.join(unit.parts)}."
        raise ValueError(f"{unit.id} has no part `{word}`.{near}")
    if part.role in {Role.ISOLATOR, Role.VENT, Role.GAUGE}:
        raise ValueError(f"Nothing can be joined at the {part.label}: name the part before or behind it.")
    return part


def _liquid(unit: Unit, tank: Named, at: Part) -> Energy:
    """What the air of a tank pushes."""
    for energy in _piped(unit, at):
        if energy.form is Form.LIQUID_PRESSURE:
            return energy
    raise ValueError(f"`{tank.name}`: no liquid under pressure runs through the {at.label}.")


def _piped(unit: Unit, part: Part) -> list[Energy]:
    """What runs through a part and can run through a pipe."""
    here = {name for run in unit.lines.values() if part.id in run.path for name in run.energies}
    return [e for e in unit.energies.values() if e.id in here and e.form in KEPT_BY_ALL]


def said_of(
    parts: Sequence[tuple[str, Fields]], unit: Unit, more: Iterable[tuple[str, str, str]]
) -> tuple[tuple[str, Fields], ...]:
    """The parts with what is said of them besides, as (part, property, value).

    Parts of the unit that are not among them have that alone.

    Raises:
        ValueError: there is no such part; the text has the nearest right name.
    """
    found = dict(parts)
    for name, key, value in more:
        if name not in found and name not in unit.parts:
            near = did_you_mean(name, (*unit.parts, *found)) or f" It has {', '.join((*unit.parts, *found))}."
            raise ValueError(f"{unit.id} has no part `{name}`.{near}")
        found[name] = tuple((dict(found.get(name, ())) | {key: value}).items())
    return tuple(found.items())

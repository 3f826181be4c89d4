"""A new unit as a file: on a base, or a plain row of parts that one fluid runs through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.draft.writing.branches import branches, said_of
from proctool.draft.writing.emit import scalar
from proctool.draft.writing.entries import (
    Fields,
    Named,
    energy_entry,
    id_of,
    inline,
    line,
    part_entry,
    valve,
    where,
)
from proctool.model.unit import Unit
from proctool.model.words import Form


@dataclass(frozen=True, slots=True)
class Fluid:
    """What runs through the parts."""

    name: str
    form: Form
    normal: str
    """Pressure in normal service, as written."""
    mains: str = "230 V"
    """Voltage of the machine that moves it, as written."""


_SUPPLY, _OUTLET = Named("supply"), Named("outlet")


@dataclass(frozen=True, slots=True)
class NewUnit:
    """What is said of a new unit. What stands empty is left for the one who walks it."""

    name: str
    title: str
    base: str = ""
    """With a base no row is told, from `fluid` to `outlet`: the base has the parts."""
    family: str = ""
    checked: Fields = ()
    """Who walked it, when, by which drawing, for which serial numbers."""
    facts: Fields = ()
    fluid: Fluid | None = None
    supply: Named = _SUPPLY
    """May have a `valve`."""
    machine: Named | None = None
    """What moves the fluid, before the parts; may have a `plug`."""
    parts: tuple[Named, ...] = ()
    """What holds the fluid and is opened, in the direction of flow; each may have a `vent` and a `gauge`."""
    outlet: Named = _OUTLET
    """May have a `valve`, or be `free`, with why nothing comes back through it."""
    bypasses: tuple[Named, ...] = ()
    """Each is `from` a part `to` a part, and may have a `valve`. These and tanks may stand on a base."""
    tanks: tuple[Named, ...] = ()
    """Pressure tanks, each `at` a part, with an `air` valve; may have a `valve` and a `gauge`."""
    said: tuple[tuple[str, str, str], ...] = ()
    """What else is said of parts: id, property, value."""


UNIT_WORDS: ReadOnly[str, tuple[str, ...]] = {
    "supply": ("valve",),
    "machine": ("plug",),
    "part": ("vent", "gauge"),
    "outlet": ("valve", "free"),
    "bypass": ("from", "to", "valve"), "tank": ("at", "valve", "air", "gauge"),
}  # fmt: skip
"""The devices that each kind of part may have."""


def unit_file(new: NewUnit, plain: Unit | None = None) -> str:
    """The text of the file. It has the devices that were told, and no others.

    `plain` is the same unit without bypasses, tanks and what is said besides; without it they are left out.

    Raises:
        ValueError: what is joined or said names a part that the unit has not; the text says what to do.
    """
    energies, parts, lines = _own(new, new.fluid) if new.fluid is not None and not new.base else ((), (), ())
    if plain is not None:
        joined = branches(plain, new.bypasses, new.tanks)
        energies = *energies, *joined.energies
        parts = said_of((*parts, *joined.parts), plain, new.said)
        lines = *lines, *(text for _, text in joined.lines)
    head = ("unit", new.name), ("title", new.title), ("based_on", new.base), ("family", new.family)
    whole = [f"{key}: {scalar(text)}" for key, text in head if text]
    whole += [f"checked: {inline(new.checked)}"] if new.checked else _UNWALKED
    whole += [] if new.base else ["lockout: required"]
    entries = tuple(part_entry(name, fields) for name, fields in parts)
    facts = tuple(f"  {name}: {scalar(text)}" for name, text in new.facts)
    sections = (
        ("energies", (), energies),
        ("parts", _PLACES, entries),
        ("lines", _PATHS, lines),
        ("facts", (), facts),
    )
    for key, comment, told in sections:
        whole += ["", *comment, f"{key}:", *told] if told else []
    return "\n".join(whole) + "\n"


def _own(
    new: NewUnit, fluid: Fluid
) -> tuple[tuple[str, ...], tuple[tuple[str, Fields], ...], tuple[str, ...]]:
    """Energies, parts and lines of the row."""
    row = tuple(_row(new, fluid))
    return (
        tuple(_energies(new, fluid)),
        tuple((name, said) for name, said, _ in row),
        tuple(_lines(new, fluid, row)),
    )


_UNWALKED = (
    "# Walk the unit with this file, then say so here:",
    "# checked: {by: , date: , drawing: , serials: }",
)
_PLACES = (
    "# Look how each device is locked (lock); say of each gauge its span, accuracy, division, usual range.",
    "# A device that is not here counts as not there.",
)
_PATHS = ("# Paths run in the direction of flow; danger runs both ways.",)


def _energies(new: NewUnit, fluid: Fluid) -> Iterator[str]:
    what = _capital(fluid.name)
    own = (("name", fluid.name), ("form", fluid.form.value), ("normal", fluid.normal), ("safe", "0 bar"))
    danger = ("warning", f"{what} under pressure.", "An open part under pressure can fly off and injure you.",
              "Open a part only after its zero is verified.")  # fmt: skip
    yield from energy_entry(id_of(fluid.name), own, danger)
    if new.machine is not None:
        mains = (("form", "electricity"), ("normal", fluid.mains), ("safe", "0 V"))
        avoid = f"Let nothing wet near the {new.machine.name} before its supply is locked off."
        danger = ("danger", "Mains voltage.", "An electric shock will kill or seriously injure you.", avoid)
        yield from energy_entry("mains", mains, danger)


def _row(new: NewUnit, fluid: Fluid) -> Iterator[tuple[str, Fields, str]]:
    """Each part: its id, what is said of it, and its line: `main`, `power`, or that of a part."""
    fields: Fields
    liquid, energy = fluid.form is Form.LIQUID_PRESSURE, id_of(fluid.name)
    machine = new.machine.id if new.machine is not None else ""
    yield new.supply.id, (("role", "source"), ("name", new.supply.name)), "main"
    if "valve" in new.supply.has:
        yield "inlet_valve", valve("inlet valve", new.supply.has["valve"]), "main"
    if new.machine is not None:
        fields = (("role", "component"), ("name", new.machine.name), ("runs", "mains"), ("near", "[]"))
        yield machine, fields, "main"
    for part in new.parts:
        name = part.id
        near = f"[{machine}]" if liquid and machine else "[]"
        air = (("traps_air", "true"),) if liquid else ()
        yield name, (("role", "component"), ("name", part.name), ("near", near), *air), "main"
        if "vent" in part.has:
            to = "bucket" if liquid else "room air"
            fields = (("role", "vent"), ("name", f"{part.name} vent"), *where(part.has["vent"]), ("to", to))
            yield f"{name}_vent", fields, name
        if "gauge" in part.has:
            fields = (("role", "gauge"), ("name", f"{part.name} gauge"), *where(part.has["gauge"]),
                      ("at", name), ("energy", energy))  # fmt: skip
            yield f"{name}_gauge", fields, ""
    if "valve" in new.outlet.has:
        yield "outlet_valve", valve("outlet valve", new.outlet.has["valve"]), "main"
    free = (("feeds_back", "false"), ("why", new.outlet.has["free"][1])) if "free" in new.outlet.has else ()
    yield new.outlet.id, (("role", "outlet"), ("name", new.outlet.name), *free), "main"
    if new.machine is not None:
        yield "socket", (("role", "source"), ("name", "wall socket")), "power"
        if "plug" in new.machine.has:
            fields = (("role", "isolator"), ("device", "plug"), ("name", f"{new.machine.name} plug"),
                      *where(new.machine.has["plug"]), ("lock", "cover"))  # fmt: skip
            yield "plug", fields, "power"
        fields = (("role", "gauge"), ("name", "voltage tester"), ("at", "any"), ("energy", "mains"))
        yield "tester", fields, ""


def _lines(new: NewUnit, fluid: Fluid, row: Sequence[tuple[str, Fields, str]]) -> Iterator[str]:
    energy = [id_of(fluid.name)]
    yield line("main", energy, _on(row, "main"))
    for part in new.parts:
        yield from (line(f"{part.id}_out", energy, [part.id, name]) for name in _on(row, part.id))
    if new.machine is not None:
        yield line("power", ["mains"], [*_on(row, "power"), new.machine.id])


def _on(row: Sequence[tuple[str, Fields, str]], path: str) -> list[str]:
    return [name for name, _, on in row if on == path]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]

"""A new unit as a file: on a base, or a plain row of parts that one fluid runs through."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, field

from proctool.draft.writing.emit import WIDTH, scalar
from proctool.model.words import Form

_NO_LETTERS = re.compile(r"[^a-z0-9]+")

_ISOLATORS = frozenset({"valve", "plug"})

Fields = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Fluid:
    """What runs through the parts."""

    name: str
    form: Form
    normal: str
    """Pressure in normal service, as written."""
    mains: str = "230 V"
    """Voltage of the machine that moves it, as written."""


@dataclass(frozen=True, slots=True)
class Named:
    """A part of the row, and the devices that it has, by word: tag and place (empty where not told)."""

    name: str
    has: ReadOnly[str, tuple[str, str]] = field(default_factory=dict)


def named(text: str, words: Sequence[str]) -> Named | str:
    """A part from a text such as `water main, valve V1 at the wall`, or in plain words what is wrong.

    An isolator is nothing to go by without its tag and its place, so both must be told.
    """
    name, *pieces = (piece.strip() for piece in text.split(","))
    if not _id(name)[:1].isalpha():
        return f"`{text}` has no name; expected one that begins with a letter, then {', '.join(words)}."
    has: dict[str, tuple[str, str]] = {}
    for piece in pieces:
        word, _, rest = piece.partition(" ")
        if word not in words or word in has:
            return f"`{piece}` in `{text}`: expected each of {', '.join(words)} at most once, with its tag."
        tag, _, place = ("", "", rest) if word == "free" else rest.strip().partition(" ")
        has[word] = tag, place.strip()
        if word in _ISOLATORS and not (tag and place):
            return f"`{piece}` in `{text}`: expected its tag and its place, such as `{word} V1 at the wall`."
        if word == "free" and not place:
            return f"`{piece}` in `{text}`: say why nothing comes back, such as `free ends above a sink`."
    return Named(name, has)


@dataclass(frozen=True, slots=True)
class NewUnit:
    """What is said of a new unit. What stands empty is left for the one who walks it."""

    name: str
    title: str
    base: str = ""
    """With a base nothing below `checked` is said: the base has the parts."""
    family: str = ""
    checked: Fields = ()
    """Who walked it, when, by which drawing, for which serial numbers."""
    facts: Fields = ()
    fluid: Fluid | None = None
    supply: Named = Named("supply")
    """May have a `valve`."""
    machine: Named | None = None
    """What moves the fluid, before the parts; may have a `plug`."""
    parts: tuple[Named, ...] = ()
    """What holds the fluid and is opened, in the direction of flow; each may have a `vent` and a `gauge`."""
    outlet: Named = Named("outlet")
    """May have a `valve`, or be `free`, with why nothing comes back through it."""


UNIT_WORDS: ReadOnly[str, tuple[str, ...]] = {
    "supply": ("valve",), "machine": ("plug",), "part": ("vent", "gauge"), "outlet": ("valve", "free"),
}  # fmt: skip
"""The devices that each kind of part may have."""


def unit_file(new: NewUnit) -> str:
    """The text of the file. It has the devices that were told, and no others."""
    head = [("unit", new.name), ("title", new.title), ("based_on", new.base), ("family", new.family)]
    lines = [f"{key}: {scalar(text)}" for key, text in head if text]
    if new.checked:
        lines.append(f"checked: {_inline(new.checked)}")
    else:
        lines += _UNWALKED
    if new.fluid is not None and not new.base:
        lines += ["lockout: required", "", *_energies(new, new.fluid), "", *_PLACES, "parts:"]
        row = list(_row(new, new.fluid))
        lines += [_part(name, fields) for name, fields, _ in row]
        lines += ["", "# Paths run in the direction of flow; danger runs both ways.", "lines:"]
        lines += _lines(new, new.fluid, row)
    if new.facts:
        lines += ["", "facts:", *(f"  {name}: {scalar(text)}" for name, text in new.facts)]
    return "\n".join(lines) + "\n"


_UNWALKED = (
    "# Walk the unit with this file, then say so here:",
    "# checked: {by: , date: , drawing: , serials: }",
)
_PLACES = (
    "# Look how each device is locked (lock); say of each gauge its span, accuracy, division, usual range.",
    "# A device that is not here counts as not there.",
)


def _energies(new: NewUnit, fluid: Fluid) -> Iterator[str]:
    what = _capital(fluid.name)
    own = (("name", fluid.name), ("form", fluid.form.value), ("normal", fluid.normal), ("safe", "0 bar"))
    danger = ("warning", f"{what} under pressure.", "An open part under pressure can fly off and injure you.",
              "Open a part only after its zero is verified.")  # fmt: skip
    yield "energies:"
    yield from _energy(_id(fluid.name), own, danger)
    if new.machine is not None:
        mains = (("form", "electricity"), ("normal", fluid.mains), ("safe", "0 V"))
        avoid = f"Let nothing wet near the {new.machine.name} before its supply is locked off."
        danger = ("danger", "Mains voltage.", "An electric shock will kill or seriously injure you.", avoid)
        yield from _energy("mains", mains, danger)


def _row(new: NewUnit, fluid: Fluid) -> Iterator[tuple[str, Fields, str]]:
    """Each part: its id, what is said of it, and its line: `main`, `power`, or that of a part."""
    fields: Fields
    liquid, energy = fluid.form is Form.LIQUID_PRESSURE, _id(fluid.name)
    machine = _id(new.machine.name) if new.machine is not None else ""
    yield _id(new.supply.name), (("role", "source"), ("name", new.supply.name)), "main"
    if "valve" in new.supply.has:
        yield "inlet_valve", _valve("inlet valve", new.supply.has["valve"]), "main"
    if new.machine is not None:
        fields = (("role", "component"), ("name", new.machine.name), ("runs", "mains"), ("near", "[]"))
        yield machine, fields, "main"
    for part in new.parts:
        name = _id(part.name)
        near = f"[{machine}]" if liquid and machine else "[]"
        air = (("traps_air", "true"),) if liquid else ()
        yield name, (("role", "component"), ("name", part.name), ("near", near), *air), "main"
        if "vent" in part.has:
            to = "bucket" if liquid else "room air"
            fields = (("role", "vent"), ("name", f"{part.name} vent"), *_where(part.has["vent"]), ("to", to))
            yield f"{name}_vent", fields, name
        if "gauge" in part.has:
            fields = (("role", "gauge"), ("name", f"{part.name} gauge"), *_where(part.has["gauge"]),
                      ("at", name), ("energy", energy))  # fmt: skip
            yield f"{name}_gauge", fields, ""
    if "valve" in new.outlet.has:
        yield "outlet_valve", _valve("outlet valve", new.outlet.has["valve"]), "main"
    free = (("feeds_back", "false"), ("why", new.outlet.has["free"][1])) if "free" in new.outlet.has else ()
    yield _id(new.outlet.name), (("role", "outlet"), ("name", new.outlet.name), *free), "main"
    if new.machine is not None:
        yield "socket", (("role", "source"), ("name", "wall socket")), "power"
        if "plug" in new.machine.has:
            fields = (("role", "isolator"), ("device", "plug"), ("name", f"{new.machine.name} plug"),
                      *_where(new.machine.has["plug"]), ("lock", "cover"))  # fmt: skip
            yield "plug", fields, "power"
        fields = (("role", "gauge"), ("name", "voltage tester"), ("at", "any"), ("energy", "mains"))
        yield "tester", fields, ""


def _valve(name: str, where: tuple[str, str]) -> Fields:
    return (("role", "isolator"), ("device", "valve"), ("name", name), *_where(where), ("lock", "hasp"),
            ("throttles", "true"))  # fmt: skip


def _where(where: tuple[str, str]) -> Fields:
    return ("tag", where[0]), ("place", where[1])


def _lines(new: NewUnit, fluid: Fluid, row: Sequence[tuple[str, Fields, str]]) -> Iterator[str]:
    energy = _id(fluid.name)
    yield _line("main", energy, [name for name, _, line in row if line == "main"])
    for part in map(_id, (part.name for part in new.parts)):
        outs = [name for name, _, line in row if line == part]
        yield from (_line(f"{part}_out", energy, [part, name]) for name in outs)
    if new.machine is not None:
        fed = [name for name, _, line in row if line == "power"]
        yield _line("power", "mains", [*fed, _id(new.machine.name)])


def _line(name: str, energy: str, path: Sequence[str]) -> str:
    whole = f"  {name}: {{energy: {energy}, path: [{', '.join(path)}]}}"
    return whole if len(whole) <= WIDTH else f"  {name}:\n    energy: {energy}\n    path: [{', '.join(path)}]"


def _energy(name: str, fields: Fields, warning: tuple[str, str, str, str]) -> Iterator[str]:
    yield f"  {name}:"
    yield from (f"    {key}: {scalar(text)}" for key, text in fields if not (key == "name" and text == name))
    yield "    warning:"
    yield from (
        f"      {k}: {scalar(text)}"
        for k, text in zip(("word", "hazard", "harm", "avoid"), warning, strict=True)
    )


def _part(name: str, fields: Fields) -> str:
    line = f"  {name}: {_inline(fields)}"
    if len(line) <= WIDTH:
        return line
    return f"  {name}:\n    {_inline(fields)}"


def _inline(fields: Fields) -> str:
    said = (f"{key}: {text if key == 'near' else scalar(text, inline=True)}" for key, text in fields if text)
    return f"{{{', '.join(said)}}}"


def _id(name: str) -> str:
    return _NO_LETTERS.sub("_", name.casefold()).strip("_")


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]

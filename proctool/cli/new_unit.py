"""`proctool new unit`."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import click

from proctool.api import UNIT_WORDS, Fluid, Named, NewUnit, named, start_unit
from proctool.cli.common import fail, known, library_option, opened
from proctool.cli.starting import ask, ask_each, finish, free, from_here
from proctool.model.document import Kind
from proctool.model.words import Form

_KEY = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")
_FORMS = (Form.LIQUID_PRESSURE, Form.GAS_PRESSURE)


@click.command("unit")
@click.argument("name")
@library_option
@click.option("--title", metavar="TEXT", help="What the unit is.")
@click.option("--on", "base", metavar="BASE", help="A base of the library that has the parts.")
@click.option("--family", metavar="FAMILY", help="Its family; of a base's, if not given.")
@click.option("--fact", "facts", multiple=True, metavar="NAME=VALUE", help="Such as `volume=10 L`.")
@click.option("--fluid", metavar="NAME", help="What runs through the parts, such as water.")
@click.option("--form", type=click.Choice([form.value for form in _FORMS]), help="How it keeps its energy.")
@click.option("--normal", metavar="PRESSURE", help="In normal service, such as `4.0 bar`.")
@click.option("--supply", metavar="PART", help="Such as `water main, valve V1 at the wall`.")
@click.option("--machine", metavar="PART", help="Before the parts: `booster pump, plug X1 behind it`.")
@click.option("--mains", metavar="VOLTAGE", default="230 V", show_default=True, help="Of the machine.")
@click.option(
    "--part", "parts", multiple=True, metavar="PART", help="Such as `filter housing, vent V2, gauge P1`."
)
@click.option(
    "--outlet",
    metavar="PART",
    help="Such as `house line, valve V3 on top`, or `tap, free ends above a sink`.",
)
@click.option(
    "--bypass",
    "bypasses",
    multiple=True,
    metavar="PART",
    help="Such as `bypass, from supply, to outlet_pipe, valve V9 above the housings`.",
)
@click.option(
    "--tank",
    "tanks",
    multiple=True,
    metavar="PART",
    help="With an air charge: `pressure tank, at outlet_pipe, valve V3 on its neck, air A1, gauge P5`.",
)
@click.option(
    "--property",
    "properties",
    multiple=True,
    metavar="PART.NAME=VALUE",
    help="Such as `pressure_tank.volume=24 L`.",
)
@click.option("--by", metavar="PERSON", help="Who walked the unit with this file.")
@click.option("--date", metavar="DATE", help="When, such as 2026-05-02.")
@click.option("--drawing", metavar="NUMBER", help="Against which drawing.")
@click.option("--serials", metavar="TEXT", help="For which serial numbers.")
@click.option("--force", is_flag=True, help="Write the file of this unit anew.")
def unit(
    name: str,
    path: Path | None,
    base: str | None,
    parts: tuple[str, ...],
    facts: tuple[str, ...],
    mains: str,
    bypasses: tuple[str, ...],
    tanks: tuple[str, ...],
    properties: tuple[str, ...],
    force: bool,
    **said: str | None,
) -> None:
    """Write a new unit NAME into the library: on a base, or a row of parts.

    A row of parts is what a fluid runs through, in the direction of flow: its supply, perhaps a machine, the
    parts, the outlet. Bypasses and pressure tanks may be joined to both. Each part is told as its name and
    the devices that it has, with tag and place. A device that is not told counts as not there; other networks
    are written by hand. What is not given is asked at a terminal. Exit code 1: the library would not pass
    check with it, and nothing is written.
    """
    library = opened(path)
    file = free(library, name, library.units.families, "unit", "units", force=force)
    bases = tuple(library.of_kind(Kind.BASE))
    told = base is not None or bool(parts)
    title = ask(said["title"], "Title: what the unit is", "--title")
    if base is None and not parts and bases:
        base = ask(None, f"Base it stands on ({', '.join(bases)}; Enter: none)", "--on", "")
    if base:
        known(library, base, bases, "base")
    checked = tuple((key, value) for key in ("by", "date", "drawing", "serials") if (value := said[key]))
    new = NewUnit(name, title, base or "", said["family"] or "", checked, facts=tuple(map(_fact, facts)))
    if not base:
        new = _row(new, parts, mains, said)
    new = replace(
        new,
        bypasses=_joined(bypasses, "bypass", ("from", "to"), told=told),
        tanks=_joined(tanks, "tank", ("at", "air"), told=told),
        said=tuple(map(_property, properties)),
    )
    try:
        started = start_unit(library, new, file)
    except ValueError as error:
        fail(str(error))
    finish(library, started, f"proctool show {name} --library {from_here(library.root or Path())}")


def _joined(texts: Sequence[str], kind: str, wanted: Sequence[str], *, told: bool) -> tuple[Named, ...]:
    """What is joined to the unit, such as its tanks; asked only where its other parts are asked as well."""
    every = texts if told else ask_each(texts, _JOINED[kind])
    return tuple(_named(text, kind, wanted) for text in every)


_JOINED = {
    "bypass": "Bypass, such as `bypass, from supply, to outlet_pipe, valve V9 above the housings`",
    "tank": "Tank, such as `pressure tank, at outlet_pipe, valve V3 on its neck, air A1, gauge P5`",
}


def _row(new: NewUnit, parts: Sequence[str], mains: str, said: dict[str, str | None]) -> NewUnit:
    fluid = ask(said["fluid"], "Fluid that runs through the parts, such as water", "--fluid")
    form = ask(said["form"], f"Its form ({' or '.join(_FORMS)})", "--form", _FORMS[0].value)
    if form not in _FORMS:
        fail(f"`{form}` is no form here; expected {' or '.join(_FORMS)}.")
    normal = ask(said["normal"], "Its pressure in normal service, such as 4.0 bar", "--normal")
    supply = ask(said["supply"], "Supply, such as `water main, valve V1 at the wall`", "--supply")
    machine = ask(said["machine"], "Machine, such as `booster pump, plug X1 behind it` (Enter: none)",
                  "--machine", "")  # fmt: skip
    every = ask_each(parts, "Part in the direction of flow, such as `filter housing, vent V2, gauge P1`")
    outlet = ask(
        said["outlet"],
        "Outlet, such as `house line, valve V3 on top` or `tap, free ends above a sink`",
        "--outlet",
    )
    if not every:
        fail("--part is missing: what holds the fluid and is opened, or --on a base.")
    return NewUnit(
        new.name, new.title, "", new.family, new.checked, new.facts,
        fluid=Fluid(fluid, Form(form), normal, mains),
        supply=_named(supply, "supply"),
        machine=_named(machine, "machine") if machine else None,
        parts=tuple(_named(text, "part") for text in every),
        outlet=_named(outlet, "outlet"),
    )  # fmt: skip


def _named(text: str, kind: str, wanted: Sequence[str] = ()) -> Named:
    found = named(text, UNIT_WORDS[kind], wanted)
    if isinstance(found, str):
        fail(f"--{kind}: {found}")
    return found


def _property(text: str) -> tuple[str, str, str]:
    whole, sign, value = (piece.strip() for piece in text.partition("="))
    part, dot, name = whole.partition(".")
    if not (part and dot and _KEY.fullmatch(name) and sign and value):
        fail(f"--property: found `{text}`; expected a part, `.`, a name, `=` and a value.")
    return part, name, value


def _fact(text: str) -> tuple[str, str]:
    name, sign, value = (piece.strip() for piece in text.partition("="))
    if not (name and sign and value):
        fail(f"--fact: found `{text}`; expected a name, `=` and a value.")
    return name, value

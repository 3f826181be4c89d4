"""`proctool draft`."""

from __future__ import annotations

import re
import sys
from datetime import date, datetime
from pathlib import Path
from typing import NoReturn

import click

from proctool.api import Drafted, DraftOrder, Library, draft, write_draft
from proctool.cli.common import (
    FAULTS,
    budget_option,
    fail,
    library_option,
    opened,
    paint,
    today_option,
    unit_of,
    width,
)
from proctool.cli.starting import from_here
from proctool.model.nearest import did_you_mean
from proctool.model.unit import Unit
from proctool.model.verdict import DEFAULT_BUDGET
from proctool.model.words import Role

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")


@click.command("draft")
@click.argument("unit")
@click.argument("more", nargs=-1, metavar="")
@click.option("--open", "parts", multiple=True, required=True, metavar="PART…", help="What is to be opened.")
@library_option
@click.option("-o", "--output", "to", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE",
              help="Write the procedure to FILE instead of showing it.")  # fmt: skip
@click.option("--force", is_flag=True, help="Replace FILE if it is there already.")
@click.option("--name", metavar="NAME", help="Name of the procedure; else from FILE or the parts.")
@click.option("--alternatives", type=click.IntRange(0, 20), default=0, metavar="N",
              help="Tell so many other ways of isolating the parts, and what each disturbs.")  # fmt: skip
@click.option(
    "--way", type=click.IntRange(1, 21), default=1, metavar="K", help="Write the Kth way, not the first."
)
@click.option("--format", "kind", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--blocks", is_flag=True, help="Use blocks of the library that prove safe for it.")
@budget_option
@today_option
def command(
    unit: str,
    more: tuple[str, ...],
    parts: tuple[str, ...],
    path: Path | None,
    to: Path | None,
    force: bool,
    name: str | None,
    alternatives: int,
    way: int,
    kind: str,
    blocks: bool,
    budget: int | None,
    today: datetime | None,
) -> None:
    """Write a procedure that opens parts of UNIT, proven safe, from the unit's network alone.

    It isolates with the least devices, lets out and verifies every energy, and brings the unit back; the work
    itself is for you to write. PARTs are ids or tags. Comments say why each device was chosen. Exit code 1:
    the unit cannot be opened safely there, and it is said what it lacks.
    """
    library = opened(path)
    model = unit_of(library, unit)
    asked = tuple(dict.fromkeys(part_of(model, word) for word in (*parts, *more)))
    title = _name(name, to, asked)
    file = _file(library, to, title)
    _free(library, title, file)
    if to is not None and to.exists() and not force:
        fail(f"{to} is there already. Name another file, or replace it with --force.")
    order = DraftOrder(
        unit, asked, title, file, max(way, 1 + alternatives), blocks, budget or DEFAULT_BUDGET, _day(today)
    )
    drafted = draft(library, order)
    if kind == "json":
        click.echo(drafted.to_json(), nl=False)
    if not drafted.proposals:
        if kind == "json":
            sys.exit(FAULTS)
        refused(model, asked, drafted, blocks=blocks)
    if way > len(drafted.proposals):
        many = len(drafted.proposals)
        fail(f"There is no way {way}: only {many} {'is' if many == 1 else 'are'} proven safe.")
    if kind == "text" or to is not None:
        _give(drafted.text(way), to, library)


def _day(today: datetime | None) -> date | None:
    return today.date() if today is not None else None


def part_of(unit: Unit, word: str) -> str:
    """The id of a part that can be opened; leaves with the nearest right one where there is none."""
    part = unit.parts.get(word) or unit.tagged(word)
    if part is None:
        names = {*unit.parts, *(p.tag for p in unit.parts.values() if p.tag)}
        can = ", ".join(p.id for p in unit.parts.values() if p.holder)
        fail(f"Unit {unit.id} has no part `{word}`.{did_you_mean(word, names) or f' It has {can}.'}")
    if part.role is Role.SOURCE:
        fail(f"`{part.id}`, the {part.name}, feeds the unit and is no part to be opened.")
    if part.at == "any" or not (part.energy or any(part.id in line.path for line in unit.lines.values())):
        fail(f"`{part.id}`, the {part.name}, stands on no line: no energy is in it that must be made safe.")
    return part.id


def _name(name: str | None, to: Path | None, parts: tuple[str, ...]) -> str:
    if name is None:
        name = to.stem if to is not None and _NAME.fullmatch(to.stem) else f"open-{'-'.join(parts)}"
    if not _NAME.fullmatch(name):
        fail(f"`{name}` is no name for a procedure; expected letters, digits, `-` and `_`.")
    return name


def _file(library: Library, to: Path | None, name: str) -> str:
    """Where the draft stands in the library: there if FILE is in it, else beside `library.yaml`."""
    if to is not None and library.root is not None and to.resolve().is_relative_to(library.root.resolve()):
        return to.resolve().relative_to(library.root.resolve()).as_posix()
    return f"{name}.yaml"


def _free(library: Library, name: str, file: str) -> None:
    """Leaves where another file has a procedure of that name, or this file is something else."""
    for procedure in library.procedures.values():
        if procedure.name.casefold() == name.casefold() and procedure.span.file != file:
            fail(f"There is a procedure `{procedure.name}` in {procedure.span.file}. Choose another --name.")
    if any(d.file == file and d.name.text not in library.procedures for d in library.documents):
        fail(f"{file} of this library is no procedure. Name another file.")


def refused(unit: Unit, parts: tuple[str, ...], drafted: Drafted, *, blocks: bool) -> NoReturn:
    """Say why nothing could be drafted, and leave."""
    labels = " and ".join(unit.parts[part].label for part in parts)
    if drafted.unsafe is not None:
        click.echo(drafted.unsafe.to_text(width=width(), paint=paint), nl=False)
        whole = "With blocks of this library no" if blocks else "No"
        help_ = " Without --blocks every step is written out." if blocks else ""
        click.echo(
            f"{whole} draft passes the check for the {labels} of {unit.id}; above is the nearest.{help_}",
            err=True,
        )
        sys.exit(FAULTS)
    if not drafted.lacks:
        click.echo("This library has no blocks that make safe and bring back what is opened.", err=True)
        sys.exit(FAULTS)
    click.echo(f"The {labels} of {unit.id} cannot be opened safely, as {unit.file} has the unit:", err=True)
    for lack in dict.fromkeys(drafted.lacks):
        click.echo(f"- {lack}", err=True)
    click.echo("If the unit has what is missing, write it into that file; if not, tell its maker.", err=True)
    sys.exit(FAULTS)


def _give(text: str, to: Path | None, library: Library) -> None:
    if to is None:
        click.echo(text, nl=False)
        return
    before = to.exists()
    try:
        write_draft(to, text)
    except OSError as error:
        fail(f"Cannot write to {error.filename or to}: {error.strerror}.")
    click.echo(f"{paint('replaced' if before else 'written', 'safe')}  {to}", err=True)
    inside = library.root is not None and to.resolve().is_relative_to(library.root.resolve())
    where = (
        f"proctool check {from_here(library.root or Path())}"
        if inside
        else "put it into the library and check that"
    )
    click.echo(f"Next: write the work into it, then {where}.", err=True)

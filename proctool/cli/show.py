"""`proctool show`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from proctool.api import Library, surveyed, write_file
from proctool.cli.common import (
    FAULTS,
    budget_option,
    fail,
    known,
    library_option,
    opened,
    paint,
    unit_of,
    width,
)
from proctool.model.verdict import DEFAULT_BUDGET


@click.command("show")
@click.argument("names", nargs=-1, required=True, metavar="[PROCEDURE] UNIT")
@click.option("--svg", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE",
              help="Write the energy diagram of UNIT to FILE as well; without a PROCEDURE only.")  # fmt: skip
@click.option("--format", "kind", type=click.Choice(["text", "json"]), default="text", show_default=True)
@library_option
@budget_option
def command(
    names: tuple[str, ...], svg: Path | None, kind: str, path: Path | None, budget: int | None
) -> None:
    """Show UNIT's network, or the steps of PROCEDURE on it.

    Of a UNIT alone: its lines drawn, what each isolator, vent and gauge reaches, and the blind spots.

    Of a PROCEDURE on it: the resolved steps. After each step stands what is newly live, trapped or zero, the
    worst over all orders.
    """
    if len(names) > 2:
        fail(f"Expected a unit, or a procedure and a unit; found {len(names)} names.")
    library = opened(path)
    if len(names) == 1:
        _unit(library, names[0], svg, kind)
        return
    if svg is not None:
        fail("The diagram is of a unit alone: leave the procedure or --svg out.")
    _steps(library, *names, kind=kind, budget=budget or DEFAULT_BUDGET)


def _unit(library: Library, unit: str, svg: Path | None, kind: str) -> None:
    if unit in library.procedures and unit not in library.units.families:
        fitting = library.units.fitting(library.procedures[unit])[0]
        fail(f"`{unit}` is a procedure; say on which unit: {', '.join(fitting) or 'it is for none'}.")
    found = surveyed(library, unit_of(library, unit).id)
    told = found.to_json() if kind == "json" else found.to_text(width=width(), paint=paint)
    click.echo(told, nl=False)
    if svg is not None:
        try:
            write_file(svg, found.to_svg().encode())
        except OSError as error:
            fail(f"Cannot write to {error.filename or svg}: {error.strerror}.")
        click.echo(f"{paint('written', 'safe')}  {svg}", err=True)


def _steps(library: Library, procedure: str, unit: str, *, kind: str, budget: int) -> None:
    known(library, procedure, library.procedures, "procedure")
    known(library, unit, library.units.families, "unit")
    cases = tuple(library.cases(procedure=procedure, unit=unit, budget=budget))
    if not cases:
        fail(f"Procedure `{procedure}` is not for unit `{unit}`.")
    if cases[0].plan is None:
        check = library.check(procedure=procedure, unit=unit)
        told = cases[0].to_json(check.findings) if kind == "json" else check.to_text(paint=paint)
        click.echo(told, nl=False)
        sys.exit(FAULTS)
    click.echo(cases[0].to_json() if kind == "json" else cases[0].to_text(), nl=False)
    faulty = cases[0].faulty or bool(library.faulty([cases[0].outcome]))
    if faulty:
        click.echo("There are errors: `proctool check` tells them.", err=True)
    sys.exit(FAULTS if faulty else 0)

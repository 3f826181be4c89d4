"""`proctool show`."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from proctool.cli.common import FAULTS, budget_option, fail, known, library_option, opened, paint
from proctool.model.verdict import DEFAULT_BUDGET


@click.command("show")
@click.argument("procedure")
@click.argument("unit")
@library_option
@budget_option
def command(procedure: str, unit: str, path: Path | None, budget: int | None) -> None:
    """Show the resolved steps of PROCEDURE on UNIT.

    After each step stands what is newly live, trapped or zero, the worst over all orders.
    """
    library = opened(path)
    known(library, procedure, library.procedures, "procedure")
    known(library, unit, library.units.families, "unit")
    cases = tuple(library.cases(procedure=procedure, unit=unit, budget=budget or DEFAULT_BUDGET))
    if not cases:
        fail(f"Procedure `{procedure}` is not for unit `{unit}`.")
    if cases[0].plan is None:
        click.echo(library.check(procedure=procedure, unit=unit).to_text(paint=paint), nl=False)
        sys.exit(FAULTS)
    click.echo(cases[0].to_text(), nl=False)
    faulty = cases[0].faulty or library.errors_around(cases[0])
    if faulty:
        click.echo("There are errors: `proctool check` tells them.", err=True)
    sys.exit(FAULTS if faulty else 0)

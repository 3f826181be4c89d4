"""`proctool check`."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

import click

from proctool.cli.common import FAULTS, budget_option, known, library_path, opened, paint, today_option, watch
from proctool.model.verdict import DEFAULT_BUDGET


@click.command("check")
@library_path
@click.option("--procedure", metavar="NAME", help="Only this procedure.")
@click.option("--unit", metavar="NAME", help="Only this unit.")
@click.option("--format", "kind", type=click.Choice(["text", "json"]), default="text", show_default=True)
@click.option("--all", "everything", is_flag=True, help="Show every finding, not only the first ones.")
@budget_option
@today_option
def command(
    path: Path | None,
    procedure: str | None,
    unit: str | None,
    kind: str,
    everything: bool,
    budget: int | None,
    today: datetime | None,
) -> None:
    """Check a library: every file, and every procedure on every unit.

    PATH is the library's folder or one file in it. Exit code 0: no errors; 1: errors were found; 2: the
    library cannot be opened.
    """
    library = opened(path)
    if procedure is not None:
        known(library, procedure, library.procedures, "procedure")
    if unit is not None:
        known(library, unit, library.units.families, "unit")
    check = library.check(
        procedure=procedure,
        unit=unit,
        budget=budget or DEFAULT_BUDGET,
        today=today.date() if today else None,
        watch=watch(library, procedure, unit),
    )
    told = check.to_json() if kind == "json" else check.to_text(everything=everything, paint=paint)
    click.echo(told, nl=False)
    sys.exit(0 if check.passed else FAULTS)

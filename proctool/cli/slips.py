"""`proctool slips`."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

import click

from proctool.api import SlipWatch
from proctool.cli.common import FAULTS, budget_option, fail, known, library_option, opened, paint
from proctool.model.slips import StepSlips
from proctool.model.verdict import DEFAULT_BUDGET


@click.command("slips")
@click.argument("procedure")
@click.argument("unit")
@library_option
@click.option("--format", "kind", type=click.Choice(["text", "json"]), default="text", show_default=True)
@budget_option
def command(procedure: str, unit: str, path: Path | None, kind: str, budget: int | None) -> None:
    """Show what each slip in PROCEDURE on UNIT would lead to.

    Each main step is left out, done at each earlier place, and done twice. A step is critical where such a
    slip can hurt someone and no need and no check shows it before. Exit code 1: the procedure is not proven,
    so there is nothing to show.
    """
    library = opened(path)
    known(library, procedure, library.procedures, "procedure")
    known(library, unit, library.units.families, "unit")
    most = budget or DEFAULT_BUDGET
    cases = tuple(library.cases(procedure=procedure, unit=unit, budget=most))
    if not cases:
        fail(f"Procedure `{procedure}` is not for unit `{unit}`.")
    (case,) = cases
    if case.plan is None or not case.proven:
        click.echo(library.check(procedure=procedure, unit=unit, budget=most).to_text(paint=paint), nl=False)
        click.echo("Slips are shown of what is proven: mend this first.", err=True)
        sys.exit(FAULTS)
    found = library.slips(case, budget=most, watch=_progress(len(case.plan.frame.steps)))
    click.echo(found.to_json() if kind == "json" else found.to_text(paint=paint), nl=False)


def _progress(many: int) -> SlipWatch:
    """Shows on a terminal how many steps are done; nothing where the error stream is no terminal."""
    if not sys.stderr.isatty():
        return iter

    def shown(steps: Iterator[StepSlips]) -> Iterator[StepSlips]:
        with click.progressbar(steps, length=many, label="slips", file=sys.stderr) as bar:
            yield from bar

    return shown

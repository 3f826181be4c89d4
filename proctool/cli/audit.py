"""`proctool audit`."""

from __future__ import annotations

import os
import sys
from datetime import datetime
from pathlib import Path

import click

from proctool import __version__
from proctool.api import AUDIT_FORMATS, audited
from proctool.cli.common import (
    FAULTS,
    budget_option,
    fail,
    known,
    library_path,
    opened,
    paint,
    today_option,
    watch,
    width,
)
from proctool.model.verdict import DEFAULT_BUDGET


@click.command("audit")
@library_path
@click.option(
    "--to",
    type=click.Path(path_type=Path),
    default=Path("build/audit"),
    show_default=True,
    help="Output folder.",
)
@click.option(
    "--formats", default="html,csv,json", show_default=True, help="What to write, joined by commas."
)
@click.option("--procedure", metavar="NAME", help="Only this procedure.")
@click.option("--unit", metavar="NAME", help="Only this unit.")
@click.option(
    "--sample",
    "many",
    type=click.IntRange(min=0),
    default=12,
    show_default=True,
    metavar="N",
    help="How many rows to offer for a look by hand.",
)
@click.option("--seed", default="1", show_default=True, metavar="TEXT", help="What the sample is chosen by.")
@today_option
@budget_option
def command(
    path: Path | None,
    to: Path,
    formats: str,
    procedure: str | None,
    unit: str | None,
    many: int,
    seed: str,
    today: datetime | None,
    budget: int | None,
) -> None:
    """Show what keeps every energy from every opened part, by which step.

    For each part that a procedure opens, and each energy that can reach it: is it isolated, secured,
    relieved, verified, restored, leak-checked, in every order, and by which steps. Beside it: reviews,
    deviations, units without a procedure, and all that the proof took on somebody's word.

    The rows for a look by hand are those with the smallest SHA-256 of SEED:KEY, so anybody can choose them
    again.

    Exit code 0: no gap and no error; 1: a gap, an error, a case that is not proven or a unit without a
    procedure; 2: the library cannot be opened, or the call is wrong.
    """
    wanted = tuple(dict.fromkeys(word.strip() for word in formats.split(",") if word.strip()))
    if not wanted or not set(wanted) <= set(AUDIT_FORMATS):
        listed = ", ".join(AUDIT_FORMATS)
        fail(f"`--formats {formats}`: expected one or more of {listed}, joined by commas.")
    if not seed.strip() or not seed.isprintable():
        fail("The seed of a sample is a word or a number.")
    library = opened(path)
    if procedure is not None:
        known(library, procedure, library.procedures, "procedure")
    if unit is not None:
        known(library, unit, library.units.families, "unit")
    found = audited(
        library,
        version=__version__,
        procedure=procedure,
        unit=unit,
        budget=budget or DEFAULT_BUDGET,
        today=today.date() if today else None,
        seed=seed,
        many=many,
        watch=watch,
    )
    try:
        written = found.write(to, wanted)
    except OSError as error:
        fail(f"Cannot write to {error.filename or to}: {error.strerror}. Choose another folder with --to.")
    click.echo(found.to_text(width=width(), paint=paint), nl=False)
    for file in written:
        click.echo(f"{paint('written', 'safe')}  {os.fspath(file)}")
    sys.exit(0 if found.clean else FAULTS)

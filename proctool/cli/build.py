"""`proctool build`."""

from __future__ import annotations

import os
import sys
from datetime import datetime
from pathlib import Path

import click

from proctool.api import FORMATS
from proctool.cli.cluster import cluster_options, joined
from proctool.cli.common import (
    FAULTS,
    afresh_option,
    budget_option,
    fail,
    known,
    library_path,
    means,
    opened,
    paint,
    today_option,
    watch,
    workers_option,
)
from proctool.model.verdict import DEFAULT_BUDGET, Verdict

_PROVEN = frozenset({Verdict.SAFE, Verdict.SAFE_WITH_DEVIATIONS})


@click.command("build")
@library_path
@click.option(
    "--to", type=click.Path(path_type=Path), default=Path("build"), show_default=True, help="Output folder."
)
@click.option(
    "--formats",
    default="html,pdf,card,tables",
    show_default=True,
    help="What to write, joined by commas: the manual as a page or as sheets, the lockout card, the tables.",
)
@click.option(
    "--paper",
    type=click.Choice(["a4", "letter"]),
    default="a4",
    show_default=True,
    help="Size of the sheets.",
)
@click.option("--draft", is_flag=True, help="Write what is not proven too, marked on every page.")
@click.option("--procedure", metavar="NAME", help="Only this procedure.")
@click.option("--unit", metavar="NAME", help="Only this unit.")
@budget_option
@today_option
@workers_option
@cluster_options
@afresh_option
@click.option(
    "--why", is_flag=True, help="Say of each manual that was made anew what differs from last time."
)
def command(
    path: Path | None,
    to: Path,
    formats: str,
    paper: str,
    draft: bool,
    procedure: str | None,
    unit: str | None,
    budget: int | None,
    today: datetime | None,
    workers: int | None,
    afresh: bool,
    why: bool,
    cluster: str | None,
    authority: Path | None,
    certificate: Path | None,
    key: Path | None,
    in_the_clear: bool,
) -> None:
    """Write the manuals of what is proven, with lockout cards and table sheets.

    Around those of a whole library stand a first page with a search, a page for each unit, and the rules.

    What has errors or is not proven is refused; with --draft it is written with a mark on every page.
    """
    wanted = frozenset(word.strip() for word in formats.split(",") if word.strip())
    if not wanted or not wanted <= FORMATS:
        fail(
            f"`--formats {formats}`: expected one or more of {', '.join(sorted(FORMATS))}, joined by commas."
        )
    library = opened(path)
    if procedure is not None:
        known(library, procedure, library.procedures, "procedure")
    if unit is not None:
        known(library, unit, library.units.families, "unit")
    try:
        with (
            joined(cluster, authority, certificate, key, in_the_clear=in_the_clear) as others,
            means(workers, afresh=afresh, others=others) as by,
        ):
            built = library.build(
                to,
                formats=wanted,
                paper=paper,
                draft=draft,
                procedure=procedure,
                unit=unit,
                budget=budget or DEFAULT_BUDGET,
                today=today.date() if today else None,
                watch=watch,
                means=by,
            )
    except OSError as error:
        if error.filename is None:
            fail(f"The system does not let the build go on: {error.strerror or error}.")
        fail(f"Cannot write to {error.filename}: {error.strerror}. Choose another folder with --to.")
    for file in built.written:
        click.echo(f"{paint('written', 'safe')}  {os.fspath(file)}")
    if built.around:
        click.echo(f"         with {len(built.around)} pages of units and rules beside it")
    for anew in built.anew if why else ():
        click.echo(f"{paint('made anew', 'advice')}  {anew.procedure} on {anew.unit}: {', '.join(anew.why)}")
    for judgement in built.refused:
        reason = "has errors" if judgement.verdict in _PROVEN else judgement.verdict.value
        told = f"{judgement.procedure} on {judgement.unit}: {reason}"
        click.echo(f"{paint('refused', 'error')}  {told}. `proctool check` says why.")
    for judgement, reason in built.failed:
        told = f"{judgement.procedure} on {judgement.unit}: {reason}"
        click.echo(f"{paint('failed', 'error')}  {told}. The others are not touched by it.")
    for file in built.withdrawn:
        click.echo(f"{paint('withdrawn', 'error')}  {os.fspath(file)}, written by an earlier build.")
    if (procedure or unit) and any(file.parent == to for file in built.withdrawn):
        click.echo("The pages around led to what is gone. A build of the whole library writes them anew.")
    for name in built.left_out:
        click.echo(f"{paint('left out', 'error')}  {name} has errors. `proctool check` says which.")
    if not built.written and not built.refused:
        click.echo("Nothing to build: no procedure here is for a unit of this library.")
    sys.exit(FAULTS if built.refused or built.failed or built.left_out or not built.written else 0)

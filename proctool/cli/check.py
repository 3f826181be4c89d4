"""`proctool check`."""

from __future__ import annotations

import os
import sys
from datetime import datetime
from pathlib import Path

import click

from proctool import __version__
from proctool.api import Baseline, BaselineError, Check, Library, read_baseline, write_baseline
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
    width,
    workers_option,
)
from proctool.cli.fixes import mended, show_diff
from proctool.model.verdict import DEFAULT_BUDGET


@click.command("check")
@library_path
@click.option("--procedure", metavar="NAME", help="Only this procedure.")
@click.option("--unit", metavar="NAME", help="Only this unit.")
@click.option("--all", "everything", is_flag=True, help="Show every finding, not only the first ones.")
@click.option("--explain", is_flag=True, help="Tell every step of the way to a fault.")
@click.option("--statistics", is_flag=True, help="Count findings by rule, and cases by verdict.")
@click.option(
    "--format",
    "kind",
    type=click.Choice(["text", "json", "sarif", "junit"]),
    default="text",
    show_default=True,
    help="For people; for programs; for code scanning; for servers that run checks.",
)
@click.option(
    "--baseline",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Leave out the findings that FILE holds.",
)
@click.option(
    "--write-baseline",
    "new_baseline",
    type=click.Path(path_type=Path, dir_okay=False),
    metavar="FILE",
    help="Write today's findings to FILE, and leave them out.",
)
@click.option("--fix", is_flag=True, help="First put right in the files what can surely be put right.")
@click.option("--diff", is_flag=True, help="Show what --fix would change; write nothing.")
@today_option
@workers_option
@afresh_option
@budget_option
def command(
    path: Path | None,
    procedure: str | None,
    unit: str | None,
    kind: str,
    everything: bool,
    explain: bool,
    statistics: bool,
    baseline: Path | None,
    new_baseline: Path | None,
    fix: bool,
    diff: bool,
    budget: int | None,
    today: datetime | None,
    workers: int | None,
    afresh: bool,
) -> None:
    """Check a library: every file, and every procedure on every unit.

    PATH is the library's folder or one file in it.

    A baseline takes an old library up step by step: what it holds is not shown and does not fail. It never
    holds what rules that guard people find, nor what keeps a case from being proven: the verdict stays as it
    is, and an unsafe case still fails and is not built.

    --fix changes only what is sure, keeps every other sign of a file, and writes nothing after which the
    library would not prove the same; what it did goes to the error stream. --diff exits with 1 where there is
    something to fix.

    Exit code 0: no errors, and every case is proven; 1: errors were found, or a case is not proven; 2: the
    library or the baseline cannot be opened, or the call is wrong.
    """
    if baseline is not None and new_baseline is not None:
        fail("Give --baseline or --write-baseline, not both: what is written is left out as well.")
    if statistics and kind not in {"text", "json"}:
        fail(f"--statistics is for the formats text and json, not for {kind}.")
    if (fix or diff) and (procedure is not None or unit is not None):
        fail("--fix and --diff go over a library or one file: leave --procedure and --unit away.")
    library = opened(path, alone=not (fix or diff or procedure))
    day = today.date() if today else None
    if diff:
        show_diff(library, budget=budget or DEFAULT_BUDGET, today=day)
    if fix:
        library = mended(library, path, budget=budget or DEFAULT_BUDGET, today=day)
    if procedure is not None:
        known(library, procedure, library.procedures, "procedure")
    if unit is not None:
        known(library, unit, library.units.families, "unit")
    try:
        held = read_baseline(baseline, library.name) if baseline is not None else None
        with means(workers, afresh=afresh or library.focus is not None) as by:  # one file is quick
            check = library.check(
                procedure=procedure,
                unit=unit,
                budget=budget or DEFAULT_BUDGET,
                today=day,
                watch=watch,
                means=by,
            )
        if new_baseline is not None:
            held = _written(new_baseline, check)
    except BaselineError as error:
        fail(str(error))
    if held is not None:
        check = check.against(held)
    match kind:
        case "json":
            told = check.to_json(statistics=statistics)
        case "sarif":
            told = check.to_sarif(version=__version__, folder=_below(library))
        case "junit":
            told = check.to_junit()
        case _:
            told = check.to_text(
                everything=everything, explain=explain, statistics=statistics, width=width(), paint=paint
            )
    click.echo(told, nl=False)
    sys.exit(0 if check.passed else FAULTS)


def _written(path: Path, check: Check) -> Baseline:
    """Today's findings, written; told on the error stream, so that reports for programs stay whole."""
    try:
        baseline = write_baseline(path, check)
    except OSError as error:
        fail(f"Cannot write to {error.filename or path}: {error.strerror}. Choose another file.")
    many = baseline.known.total()
    stay = len(check.findings) - many
    rest = f"; {stay:,} may not be held and stay" if stay else ""
    click.echo(f"written  {os.fspath(path)}: {many:,} finding{'' if many == 1 else 's'}{rest}.", err=True)
    return baseline


def _below(library: Library) -> str:
    """Where the library lies below the folder one is in; empty where it lies elsewhere."""
    here = Path.cwd().resolve()
    if library.root is None or not library.root.is_relative_to(here):
        return ""
    below = library.root.relative_to(here).as_posix()
    return "" if below == "." else f"{below}/"

"""`proctool compare`."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

import click

from proctool.api import CompareError, compared
from proctool.cli.common import (
    FAULTS,
    budget_option,
    fail,
    library_option,
    opened,
    paint,
    today_option,
    width,
)
from proctool.model.verdict import DEFAULT_BUDGET


@click.command("compare")
@click.argument("one", metavar="A")
@click.argument("other", metavar="B")
@library_option
@click.option("--unit", metavar="UNIT", help="The unit of a side that names none; else every unit of both.")
@click.option("--critical", is_flag=True, help="Compare the critical steps too: slow, many proofs.")
@click.option(
    "--format", "kind", type=click.Choice(["text", "html", "json"]), default="text", show_default=True
)
@budget_option
@today_option
def command(
    one: str,
    other: str,
    path: Path | None,
    unit: str | None,
    critical: bool,
    kind: str,
    budget: int | None,
    today: datetime | None,
) -> None:
    """Show what differs between A and B, first of all whether the safety does.

    A and B are PROCEDURE, PROCEDURE@UNIT, or REVISION:PROCEDURE for what git holds: compare
    HEAD:change-cartridges change-cartridges shows what was changed since. Exit code 1: B is less safe than A,
    or one of them could not be resolved.
    """
    library = opened(path)
    try:
        found = compared(
            library,
            one,
            other,
            unit=unit,
            critical=critical,
            budget=budget or DEFAULT_BUDGET,
            today=today.date() if today else None,
        )
    except CompareError as error:
        fail(str(error))
    match kind:
        case "html":
            click.echo(found.to_html(), nl=False)
        case "json":
            click.echo(found.to_json(), nl=False)
        case _:
            click.echo(found.to_text(width=width(), paint=paint), nl=False)
    sys.exit(FAULTS if found.worse else 0)

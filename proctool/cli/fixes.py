"""Fixing for `proctool check`: what is told goes to the error stream, so that reports stay whole."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

import click

from proctool.api import Fixed, Library, unified, write_fixed
from proctool.cli.common import FAULTS, fail, opened


def show_diff(library: Library, *, budget: int, today: date | None) -> None:
    """Show what fixing would change and leave; exit code 1 where there is something to fix."""
    fixed = library.fixed(budget=budget, today=today)
    click.echo(unified(fixed), nl=False)
    _tell(fixed, "can be fixed")
    sys.exit(FAULTS if fixed.done else 0)


def mended(library: Library, path: Path | None, *, budget: int, today: date | None) -> Library:
    """The library as it stands when all that can be fixed surely is fixed in its files."""
    fixed = library.fixed(budget=budget, today=today)
    if fixed.done and library.root is not None:
        why = write_fixed(library.root, fixed)
        if why is not None:
            fail(f"nothing was fixed: {why}.")
    _tell(fixed, "fixed")
    return opened(path)


def _tell(fixed: Fixed, done: str) -> None:
    for note in fixed.done:
        click.echo(f"{done}  {note}", err=True)
    for note in fixed.left:
        click.echo(f"not fixed  {note}", err=True)
    if not fixed.done:
        click.echo("Nothing here can be fixed surely." if fixed.left else "Nothing to fix.", err=True)

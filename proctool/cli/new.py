"""`proctool new`."""

from __future__ import annotations

from pathlib import Path

import click

from proctool.api import NotEmptyError, new_library
from proctool.cli.common import fail, paint
from proctool.cli.new_procedure import procedure
from proctool.cli.new_unit import unit


@click.group("new")
def command() -> None:
    """Write a start that already passes `check`."""


command.add_command(unit)
command.add_command(procedure)


@command.command("library")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--name", default="Our service procedures", show_default=True, help="The library's name.")
def library(folder: Path, name: str) -> None:
    """Write a small library into FOLDER, which must be new or empty: one unit, two blocks, one procedure."""
    if not name.strip() or not name.isprintable():
        fail("The name of a library is a line of text.")
    try:
        written = new_library(folder, name.strip())
    except NotEmptyError:
        why = "is not empty" if folder.is_dir() else "is no folder"
        fail(f"{folder} {why}. Name a new folder.")
    except OSError as error:
        fail(f"Cannot write to {error.filename or folder}: {error.strerror}.")
    for file in written:
        click.echo(f"{paint('written', 'safe')}  {file}")
    click.echo(f"Next: proctool check {folder}")

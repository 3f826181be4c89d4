"""What `new unit` and `new procedure` share: questions, a free name, and writing what passed."""

from __future__ import annotations

import re
import sys
from collections.abc import Collection
from pathlib import Path
from textwrap import fill

import click

from proctool.api import Library, Started, write_file
from proctool.cli.common import FAULTS, fail, paint, width

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")


def ask(given: str | None, question: str, option: str, default: str | None = None) -> str:
    """What an option says; else the answer at a terminal; else the default, or the call is wrong."""
    if given is not None:
        return given.strip()
    if sys.stdin.isatty():
        said: str = click.prompt(question, default=default, show_default=bool(default), err=True)
        return said.strip()
    if default is None:
        fail(f"{option} is missing: {question[:1].lower()}{question[1:]}?")
    return default


def ask_each(given: Collection[str], question: str) -> tuple[str, ...]:
    """What a repeated option says; else the answers at a terminal, up to an empty one."""
    if given or not sys.stdin.isatty():
        return tuple(text.strip() for text in given)
    found: list[str] = []
    while said := click.prompt(
        f"{question} (Enter: no more)", default="", show_default=False, err=True
    ).strip():
        found.append(said)
    return tuple(found)


def free(
    library: Library, name: str, taken: Collection[str], what: str, folder: str, *, force: bool = False
) -> str:
    """Where a new file of that name stands in the library; leaves where the name will not do.

    With `force` it may be the file that has that name already.
    """
    if library.root is None or library.file is None:
        fail("library.yaml could not be read: `proctool check` says why.", FAULTS)
    if not _NAME.fullmatch(name):
        fail(f"`{name}` is no name for a {what}; expected letters, digits, `-` and `_`.")
    under = f"{folder}/" if folder and (library.root / folder).is_dir() else ""
    file = f"{under}{name.lower()}.yaml"
    if force and library.unit_files.get(name) == file:
        return file
    for other in taken:
        if other.casefold() == name.casefold():
            fail(f"There is a {what} `{other}` in this library. Choose another name.")
    if (library.root / file).exists():
        fail(f"{library.root / file} is there already. Choose another name.")
    return file


def from_here(path: Path) -> Path:
    """A path as people type it: from the folder they are in, if it lies below."""
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else path


def finish(library: Library, started: Started, after: str) -> None:
    """Write what passed the check; else show what is wrong with it, and leave."""
    if not started.passed:
        click.echo(started.check.to_text(width=width(), paint=paint), nl=False)
        click.echo(f"{started.file} is not written: the library would not pass check with it.", err=True)
        sys.exit(FAULTS)
    path = (library.root or Path()) / started.file
    try:
        write_file(path, started.text.encode())
    except OSError as error:
        fail(f"Cannot write to {error.filename or path}: {error.strerror}.")
    click.echo(f"{paint('written', 'safe')}  {from_here(path)}")
    if started.unopened:
        told = f"Cannot be opened safely as it is told: {', '.join(started.unopened)}."
        click.echo(fill(told, width(), break_on_hyphens=False))
    click.echo(f"Next: {after}")

"""What several commands share: opening the library, colour, wrong names."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Collection, Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import NoReturn, TypeVar

import click

from proctool.api import Crew, Library, Means, OpenError, crew, open_library, open_store
from proctool.model.nearest import did_you_mean
from proctool.model.unit import Unit

T = TypeVar("T")

FAULTS = 1
"""Exit code: errors were found, in the content of files too."""
NO_LIBRARY = 2
"""Exit code: the library cannot be opened, or the call is wrong."""
_LONG = 4
"""So many cases may take long enough to show progress."""

WIDTH = 80
"""Columns of a report where the terminal has as many."""
_NARROWEST = 40

_COLOURS = {
    "error": "red",
    "unsafe": "red",
    "unproven": "red",
    "warning": "yellow",
    "advice": "cyan",
    "safe": "green",
    "place": "bright_white",
}

library_path = click.argument("path", required=False, type=click.Path(path_type=Path))
library_option = click.option(
    "--library", "path", type=click.Path(path_type=Path), metavar="PATH", help="Folder of the library."
)
budget_option = click.option(
    "--budget",
    type=click.IntRange(min=1),
    metavar="N",
    help="Pairs of done steps and states to look at before a proof is given up.",
)


workers_option = click.option(
    "--workers",
    type=click.IntRange(min=1),
    metavar="N",
    help="Processes that share the work; by default as many as there are processors.",
)
afresh_option = click.option(
    "--afresh", is_flag=True, help="Look nothing up from earlier runs, and keep nothing of this one."
)


@contextmanager
def means(workers: int | None, *, afresh: bool, others: Crew | None = None) -> Iterator[Means]:
    """Who does the work, and where results are kept; a stop from the keyboard keeps what is done."""
    store = None if afresh else open_store()
    by = others or crew(workers)
    try:
        yield Means(by, store)
    except KeyboardInterrupt:
        if store is None:
            raise
        raise KeyboardInterrupt("What was done is kept: the same command goes on from there.") from None
    finally:
        by.close()
        if store is not None:
            store.close()


class _Day(click.DateTime):
    """A day as `2027-03-31`."""

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> datetime:
        try:
            day: datetime = super().convert(value, param, ctx)
        except click.BadParameter:
            self.fail(f"found `{value}`; expected a day such as 2027-03-31.", param, ctx)
        return day


def _given_day() -> datetime | None:
    """The day of SOURCE_DATE_EPOCH, by which builds are made the same again (reproducible-builds.org)."""
    said = os.environ.get("SOURCE_DATE_EPOCH")
    if not said:
        return None
    try:
        return datetime.fromtimestamp(int(said), UTC)
    except (ValueError, OverflowError, OSError):
        fail(f"found `{said}` in SOURCE_DATE_EPOCH; expected whole seconds since 1970-01-01.")


today_option = click.option(
    "--today",
    type=_Day(["%Y-%m-%d"]),
    metavar="DATE",
    default=_given_day,
    help="Judge deviations as on this day; without it as on that of SOURCE_DATE_EPOCH, else today.",
)


def watch(label: str, many: int, done: Iterator[T]) -> Iterable[T]:
    """Shows on a terminal how much is done and how long the rest will take; nothing where there is none."""
    if many < _LONG or not sys.stderr.isatty():
        yield from done
        return
    with click.progressbar(done, length=many, label=label, show_pos=True, file=sys.stderr) as bar:
        yield from bar


def fail(message: str, code: int = NO_LIBRARY) -> NoReturn:
    """Say what is wrong on the error stream and leave."""
    click.echo(f"proctool: {message}", err=True)
    sys.exit(code)


def opened(path: Path | None, *, alone: bool = False) -> Library:
    """The library at `path`; without one that of this folder, else `procedures` in it; `alone` as the API."""
    if path is None:
        here = Path()
        path = (
            here
            if (here / "library.yaml").is_file() or not Path("procedures").is_dir()
            else Path("procedures")
        )
    try:
        return open_library(path, alone=alone)
    except OpenError as error:
        fail(str(error))


def paint(text: str, kind: str) -> str:
    """Colour on a terminal, unless NO_COLOR is set; the words say the same without."""
    if not sys.stdout.isatty() or os.environ.get("NO_COLOR"):
        return text
    return click.style(text, fg=_COLOURS.get(kind), bold=kind == "place")


def width() -> int:
    """Columns for a report: those of a narrow terminal, else 80."""
    asked = shutil.get_terminal_size((WIDTH, 24)).columns if sys.stdout.isatty() else WIDTH
    return max(_NARROWEST, min(WIDTH, asked))


def unit_of(library: Library, name: str) -> Unit:
    """A unit that could be read, with the library's own file; leaves where either could not."""
    known(library, name, library.units.families, "unit")
    if library.file is None or name not in library.units.whole:
        fail(f"Unit `{name}` or library.yaml could not be read: `proctool check` says why.", FAULTS)
    return library.units.whole[name]


def known(library: Library, name: str, names: Collection[str], what: str) -> str:
    """A name that the library has; leaves with the nearest right one where it has not."""
    if name not in names:
        listed = f" There are {', '.join(sorted(names)[:12])}." if names else ""
        message = f"There is no {what} `{name}` in this library.{did_you_mean(name, names) or listed}"
        if library.faulty_files:
            message += f" {', '.join(library.faulty_files[:3])} could not be read: `proctool check` says why."
        fail(message)
    return name

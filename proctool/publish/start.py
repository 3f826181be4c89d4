"""A new library: a few files that pass `check`, to be made one's own."""

from __future__ import annotations

import re
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from proctool.publish.atomic import write

_NAME = re.compile(r"^library: .*$", re.MULTILINE)


class NotEmptyError(Exception):
    """The folder holds something already; nothing was written."""


def new_library(to: Path, name: str) -> tuple[Path, ...]:
    """Write the files of a new library into an empty or new folder.

    Raises:
        NotEmptyError: the folder is not empty.
        OSError: it cannot be written to.
    """
    if to.exists() and (not to.is_dir() or any(to.iterdir())):
        raise NotEmptyError(str(to))
    written = []
    for path, text in _files(resources.files("proctool.start")):
        if path == "library.yaml":
            text = _named(text, name)  # noqa: PLW2901 - the one file with a name in it
        write(to / path, text.encode())
        written.append(to / path)
    return tuple(written)


def _named(text: str, name: str) -> str:
    quoted = "'" + name.replace("'", "''") + "'"
    return _NAME.sub(lambda _: f"library: {quoted}", text)


def _files(folder: Traversable, under: str = "") -> list[tuple[str, str]]:
    found = []
    for entry in sorted(folder.iterdir(), key=lambda e: e.name):
        if entry.is_dir() and not entry.name.startswith("_"):
            found += _files(entry, f"{under}{entry.name}/")
        elif entry.name.endswith(".yaml"):
            found.append((f"{under}{entry.name}", entry.read_text(encoding="utf-8")))
    return found

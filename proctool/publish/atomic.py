"""Files written aside and renamed, so that no reader and no crash ever meets half of one."""

from __future__ import annotations

import os
import tempfile
import time
from contextlib import suppress
from pathlib import Path

_ASIDE = ".proctool-"
_END = ".part"
_STALE = 3600
"""Seconds after which a file set aside is one that a killed build left."""


def write(path: Path, data: bytes) -> None:
    """Write a whole file, its folder too; one that says the same already is left alone.

    Raises:
        OSError: the folder cannot be made or written to; an older file is left as it was.
    """
    with suppress(OSError):
        if path.stat().st_size == len(data) and path.read_bytes() == data:
            return
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=_ASIDE, suffix=_END)
    aside = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())  # a rename may reach the disk before what it names
        aside.chmod(0o644)
        aside.replace(path)
    except BaseException:
        with suppress(OSError):
            aside.unlink()
        raise


def sweep(folder: Path) -> None:
    """Take away what builds that were killed left set aside in a folder and those in it."""
    now = time.time()
    for file in (*folder.glob(f"{_ASIDE}*{_END}"), *folder.glob(f"*/{_ASIDE}*{_END}")):
        with suppress(OSError):
            if now - file.stat().st_mtime > _STALE:
                file.unlink()

"""Files written aside and renamed, so that no reader and no crash ever meets half of one."""

from __future__ import annotations

import os
import sys
import tempfile
import time
from contextlib import suppress
from pathlib import Path

if sys.platform != "win32":
    import fcntl

_ASIDE = ".proctool-"
_END = ".part"
_MOMENT = 10
"""Seconds in which whoever set a file aside has surely locked it, or, once it is written, renamed it."""
_STALE = 3600
"""Seconds after which a file set aside is one that a killed build left, where locks cannot tell."""


def write(path: Path, data: bytes) -> None:
    """Write a whole file, its folder too; one that says the same already is left alone.

    Raises:
        OSError: the file cannot be written, for its folder, its name or the disk; an older one is left as it
            was. It names the file.
    """
    with suppress(OSError):
        if path.stat().st_size == len(data) and path.read_bytes() == data:
            return
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        _put(path, data)
    except OSError as error:  # nobody knows the file set aside, and a full disk names none
        raise OSError(error.errno, error.strerror or str(error), os.fspath(path)) from error


def _put(path: Path, data: bytes) -> None:
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=_ASIDE, suffix=_END)
    aside = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            if sys.platform != "win32":
                with suppress(OSError):  # not every disk has locks
                    fcntl.flock(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)
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
    for file in (*folder.glob(f"{_ASIDE}*{_END}"), *folder.glob(f"*/{_ASIDE}*{_END}")):
        with suppress(OSError):
            if _left(file):
                file.unlink()


def _left(file: Path) -> bool:
    """Whether nobody is at a file set aside: its lock went with who held it."""
    age = time.time() - file.stat().st_mtime
    if sys.platform != "win32" and age > _MOMENT:
        with suppress(OSError), file.open("rb") as stream:
            try:
                fcntl.flock(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                return False
            return True
    return age > _STALE

"""Files written aside and renamed, so that no reader and no crash ever meets half of one."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path


def write(path: Path, data: bytes) -> None:
    """Write a whole file, its folder too.

    Raises:
        OSError: the folder cannot be made or written to; an older file is left as it was.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    aside = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        aside.chmod(0o644)
        aside.replace(path)
    except BaseException:
        with suppress(OSError):
            aside.unlink()
        raise

"""Fixed files put in the place of the old ones: all of them or none."""

from __future__ import annotations

import stat
from collections.abc import Iterable
from pathlib import Path

from proctool.fix.result import Fixed
from proctool.publish import atomic


def locked(root: Path, files: Iterable[str]) -> dict[str, str]:
    """The files that are not to be written, and why: links, and what is marked read-only."""
    found = {}
    for file in files:
        path = root / file
        try:
            mode = path.lstat().st_mode
        except OSError as error:
            found[file] = f"it cannot be looked at: {_reason(error)}"
            continue
        if stat.S_ISLNK(mode):
            found[file] = "it is a link; fix the file that it leads to"
        elif not path.resolve().is_relative_to(root.resolve()):
            found[file] = "it lies outside the library"
        elif not mode & stat.S_IWUSR:
            found[file] = "it is read-only"
    return found


def write_fixed(root: Path, fixed: Fixed) -> str | None:
    """Put fixed files in the place of those they were; why nothing was written, or None.

    A file that is no longer as it was read stops the work, and so does one that cannot be written: those
    written already are put back.
    """
    written: list[str] = []
    try:
        for file, data in fixed.before.items():
            if (root / file).read_bytes() != data:
                return f"{file} was changed meanwhile"
        for file, data in fixed.after.items():
            _write(root / file, data)
            written.append(file)
    except OSError as error:
        for file in written:
            _write(root / file, fixed.before[file])
        return f"{error.filename or root} cannot be written: {_reason(error)}"
    return None


def _write(path: Path, data: bytes) -> None:
    mode = stat.S_IMODE(path.stat().st_mode)
    atomic.write(path, data)
    path.chmod(mode)


def _reason(error: OSError) -> str:
    return (error.strerror or "unknown reason").lower()

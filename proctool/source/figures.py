"""Pictures of a library: read from its own folder, and from nowhere else."""

from __future__ import annotations

from pathlib import Path

from proctool.source.text import ending

MAX_BYTES = 4 * 1024 * 1024
"""Most bytes of one picture."""


def read_figure(root: Path | None, file: str) -> bytes | str:
    """The bytes of a picture by its path in the library, or why it cannot be shown."""
    if root is None:
        return f"There is no folder to read `{file}` from."
    shown = ending(file, 60)
    home = root.resolve()
    try:
        found = (home / file).resolve()
        if not found.is_relative_to(home):
            return f"`{shown}` leads out of the library. Put the picture into `figures/`."
        if not found.is_file():
            return f"There is no picture `{shown}` in the library."
        if found.stat().st_size > MAX_BYTES:
            return f"`{shown}` has more than {MAX_BYTES // 1024 // 1024} MiB. Make it smaller."
        return found.read_bytes()
    except OSError as error:
        return f"`{shown}` cannot be read: {(error.strerror or 'unknown reason').lower()}."
    except RuntimeError:  # what Python before 3.13 says of a circle of links
        return f"`{shown}` is a link that leads back to itself."

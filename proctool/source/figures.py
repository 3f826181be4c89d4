"""Pictures of a library: read from its own folder and from nowhere else, and looked through before use."""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from proctool.source.drawing import drawing_fault
from proctool.source.text import ending

MAX_BYTES = 4 * 1024 * 1024
"""Most bytes of one picture."""
MAX_PIXELS = 40_000_000
"""Most points of one picture: a few bytes may unfold to more than the memory holds."""
_FORMATS = ("PNG", "JPEG", "GIF", "WEBP")


@dataclass(frozen=True, slots=True)
class Refused:
    """Why a picture is not shown, and the line of a drawing that it is about."""

    why: str
    line: int | None = None


def read_figure(root: Path | None, file: str) -> bytes | Refused:
    """The bytes of a picture by its path in the library, or why it cannot be shown."""
    content = _read(root, file)
    return content if isinstance(content, Refused) else looked_through(content, file)


def looked_through(content: bytes, file: str) -> bytes | Refused:
    """The bytes of a picture of that name, or why they cannot be shown."""
    shown = ending(file, 60)
    if b"<svg" in content[:1024]:
        fault = drawing_fault(content)
        return Refused(f"`{shown}` cannot be shown: {fault.message}", fault.line) if fault else content
    return _raster(content, shown) or content


def _read(root: Path | None, file: str) -> bytes | Refused:
    if root is None:
        return Refused(f"There is no folder to read `{file}` from.")
    shown = ending(file, 60)
    home = root.resolve()
    try:
        found = (home / file).resolve()
        if not found.is_relative_to(home):
            return Refused(f"`{shown}` leads out of the library. Put the picture into `figures/`.")
        if not found.is_file():
            return Refused(f"There is no picture `{shown}` in the library.")
        if found.stat().st_size > MAX_BYTES:
            return Refused(f"`{shown}` has more than {MAX_BYTES // 1024 // 1024} MiB. Make it smaller.")
        return found.read_bytes()
    except OSError as error:
        return Refused(f"`{shown}` cannot be read: {(error.strerror or 'unknown reason').lower()}.")
    except RuntimeError:  # what Python before 3.13 says of a circle of links
        return Refused(f"`{shown}` is a link that leads back to itself.")


def _raster(content: bytes, shown: str) -> Refused | None:
    """Why a picture of points cannot be shown; None where it can."""
    from PIL import Image, UnidentifiedImageError  # noqa: PLC0415 - heavy, and most libraries have none

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # its own warning of size: ours is stricter
            picture = Image.open(BytesIO(content), formats=_FORMATS)
            width, height = picture.size
            if width * height > MAX_PIXELS:
                return Refused(f"`{shown}` is {width:,} by {height:,} points. Make it smaller.")
            picture.verify()
    except UnidentifiedImageError:
        return Refused(f"`{shown}` is no PNG, JPEG, GIF, WebP or SVG picture.")
    except Image.DecompressionBombError:
        return Refused(f"`{shown}` has more than {MAX_PIXELS:,} points. Make it smaller.")
    except (OSError, SyntaxError, ValueError, EOFError):
        return Refused(f"`{shown}` is damaged: it cannot be read to its end.")
    return None

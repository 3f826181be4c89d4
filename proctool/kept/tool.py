"""What results hang on besides the library: proctool itself, Python, and the packages they stand on."""

from __future__ import annotations

import hashlib
import os
import platform
import re
from functools import cache
from importlib import metadata, resources
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import Any

_NAME = re.compile(r"[A-Za-z0-9._-]+")
_WRITERS = (
    "brotli",
    "cffi",
    "cssselect2",
    "markupsafe",
    "pydyf",
    "pyphen",
    "tinycss2",
    "tinyhtml5",
    "zopfli",
)
"""What the writer of PDFs stands on: their bytes hang on these."""


@cache
def tool() -> str:
    """A digest of all files of proctool, and of the versions of Python and of what it needs."""
    made = hashlib.sha256()
    for name, data in (
        *_files(resources.files("proctool"), ""),
        *_files(resources.files("proctool.schemas"), "schemas/"),  # not below proctool in a working copy
    ):
        made.update(f"{name}\0{len(data)}\0".encode())
        made.update(data)
    for line in (platform.python_version(), *_versions()):
        made.update(line.encode() + b"\n")
    return made.hexdigest()


@cache
def sheets() -> str:
    """A digest of what else the bytes of a PDF hang on: what sets text, the system's fonts, the given day."""
    from weasyprint.text import ffi  # noqa: PLC0415 - only who writes PDFs needs it

    told = (
        platform.machine(),
        ffi.pango.pango_version(),
        _harfbuzz(ffi.harfbuzz),
        _fonts(ffi.ffi, ffi.fontconfig),
        os.environ.get("SOURCE_DATE_EPOCH", ""),
    )
    return hashlib.sha256(repr(told).encode()).hexdigest()


def _harfbuzz(library: Any) -> tuple[int, ...]:  # noqa: ANN401 - from a package without types
    """The version of HarfBuzz, which only says whether it is at least some other."""
    told: tuple[int, ...] = ()
    for _ in range(3):
        told = (*told, max(n for n in range(256) if library.hb_version_atleast(*(*told, n, 0, 0)[:3])))
    return told


def _fonts(ffi: Any, library: Any) -> list[tuple[str, int]]:  # noqa: ANN401 - as above
    """Each font of the system with its size: one may be taken for a sign that ours lack."""
    config = library.FcInitLoadConfigAndFonts()
    fonts = library.FcConfigGetFonts(config, library.FcSetSystem)
    said = ffi.new("FcChar8 **")
    found = set()
    for place in range(fonts.nfont if fonts != ffi.NULL else 0):
        if library.FcPatternGetString(fonts.fonts[place], b"file", 0, said) == library.FcResultMatch:
            found.add(os.fsdecode(ffi.string(said[0])))
    library.FcConfigDestroy(config)
    return sorted((file, Path(file).stat().st_size) for file in found if Path(file).is_file())


def _files(folder: Traversable, under: str) -> list[tuple[str, bytes]]:
    found = []
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        name = f"{under}{entry.name}"
        if entry.is_dir():
            if entry.name != "__pycache__":
                found += _files(entry, f"{name}/")
        elif not entry.name.endswith((".pyc", ".pyo")):
            found.append((name, entry.read_bytes()))
    return found


def _versions() -> list[str]:
    """The version of each package that proctool needs, as far as it is there."""
    try:
        asked = metadata.requires("proctool") or []
    except metadata.PackageNotFoundError:
        asked = []
    needed = {match[0] for line in asked if "extra ==" not in line and (match := _NAME.match(line))}
    told = []
    for name in sorted(needed.union(_WRITERS)):
        try:
            told.append(f"{name} {metadata.version(name)}")
        except metadata.PackageNotFoundError:
            told.append(name)
    return told

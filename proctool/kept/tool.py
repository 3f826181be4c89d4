"""What results hang on besides the library: proctool itself, Python, and the packages they stand on."""

from __future__ import annotations

import hashlib
import os
import platform
import re
from functools import cache
from importlib import metadata, resources
from importlib.resources.abc import Traversable

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
    for name, data in _files(resources.files("proctool"), ""):
        made.update(f"{name}\0{len(data)}\0".encode())
        made.update(data)
    for line in (platform.python_version(), *_versions()):
        made.update(line.encode() + b"\n")
    return made.hexdigest()


@cache
def sheets() -> str:
    """A digest of what else the bytes of a PDF hang on: the libraries that set text, and the given day."""
    from weasyprint.text.ffi import pango  # noqa: PLC0415 - only who writes PDFs needs it

    told = (platform.machine(), pango.pango_version(), os.environ.get("SOURCE_DATE_EPOCH", ""))
    return hashlib.sha256(repr(told).encode()).hexdigest()


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

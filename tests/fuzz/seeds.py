"""What inputs are made from: the files that come with proctool, in libraries small enough to check often."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
_DEMO = ROOT / "procedures"
_UNITS = tuple(f"units/{name}.yaml" for name in ("kw-4", "kw-pumped", "kw-base"))
_BLOCKS = (
    "make-safe",
    "return-to-service",
    "change-cartridge",
    "close-housing",
    "fill-housing",
    "empty-housing",
)
_KW4 = (
    "library.yaml",
    "change-cartridges.yaml",
    *_UNITS,
    *(f"blocks/{name}.yaml" for name in (*_BLOCKS, "flush-skid")),
)


@cache
def libraries() -> tuple[dict[str, str], ...]:
    """Small libraries as texts by path: the one a beginner gets, an appliance, a skid with tables."""
    return _folder(ROOT / "proctool" / "start"), _folder(ROOT / "household"), _files(_DEMO, _KW4)


@cache
def texts() -> tuple[str, ...]:
    """Every file of the demonstration libraries."""
    return (*_folder(_DEMO).values(), *libraries()[1].values(), *libraries()[0].values())


def with_line(files: Mapping[str, str], file: str, key: str, value: str) -> dict[str, str]:
    """Files with the value at a key of the top put in the place of that of one of them."""
    lines = files[file].split("\n")
    at = next(n for n, line in enumerate(lines) if line.startswith(f"{key}:"))
    lines[at] = f"{key}: {value}"
    return {**files, file: "\n".join(lines)}


def with_text(text: str, title: str = "T") -> dict[str, bytes]:
    """The library of a beginner, with the text of a step and the title of its procedure put in."""
    files = with_line(libraries()[0], "change-filter.yaml", "title", quoted(title))
    lines = files["change-filter.yaml"].split("\n")
    at = next(n for n, line in enumerate(lines) if line.strip().startswith("- do:"))
    lines[at] = f"{lines[at][: lines[at].index('-')]}- do: {quoted(text)}"
    return {file: data.encode() for file, data in (files | {"change-filter.yaml": "\n".join(lines)}).items()}


def quoted(text: str) -> str:
    """A text in double quotes, whatever is in it; half a character becomes a question mark."""
    plain = text.encode("utf-8", "replace").decode()
    signs = {'"': '\\"', "\\": "\\\\"}
    return '"' + "".join(signs.get(c, c if c.isprintable() else f"\\U{ord(c):08X}") for c in plain) + '"'


def _folder(folder: Path) -> dict[str, str]:
    return _files(folder, sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.yaml")))


def _files(folder: Path, names: Iterable[str]) -> dict[str, str]:
    return {name: (folder / name).read_text(encoding="utf-8") for name in names}

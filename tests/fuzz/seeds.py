"""What inputs are made from: the files that come with proctool, in libraries small enough to check often."""

from __future__ import annotations

from functools import cache
from pathlib import Path

ROOT = Path(__file__).parents[2]
_DEMO = ROOT / "procedures"
_KW4 = (
    *("library.yaml", "change-cartridges.yaml", "units/kw-4.yaml", "units/kw-pumped.yaml", "units/kw-base.yaml"),
    *(f"blocks/{name}.yaml" for name in ("make-safe", "return-to-service", "change-cartridge")),
    *(f"blocks/{name}.yaml" for name in ("close-housing", "fill-housing", "empty-housing", "flush-skid")),
)


@cache
def libraries() -> tuple[dict[str, str], ...]:
    """Small libraries as texts by path: the one a beginner gets, an appliance, a skid with tables."""
    return _folder(ROOT / "proctool" / "start"), _folder(ROOT / "household"), _files(_DEMO, _KW4)


@cache
def texts() -> tuple[str, ...]:
    """Every file of the demonstration libraries."""
    found = (*_folder(_DEMO).values(), *_folder(ROOT / "household").values())
    return (*found, *_folder(ROOT / "proctool" / "start").values())


def _folder(folder: Path) -> dict[str, str]:
    return _files(folder, sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.yaml")))


def _files(folder: Path, names: tuple[str, ...] | list[str]) -> dict[str, str]:
    return {name: (folder / name).read_text(encoding="utf-8") for name in names}

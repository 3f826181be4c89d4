"""A program of somebody who uses proctool from Python: checked by mypy against the wheel, never run."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from proctool import Finding, Level, Library, OpenError, open_library
from proctool.api import Built, Check, Tabled, crew, draft, tabled


def errors(folder: Path) -> tuple[Finding, ...]:
    try:
        library: Library = open_library(folder)
    except OpenError as error:
        raise SystemExit(str(error)) from error
    check: Check = library.check(today=date(2026, 1, 31))
    return tuple(finding for finding in check.findings if finding.level is Level.ERROR)


def pages(library: Library, to: Path) -> list[str]:
    built: Built = library.build(to, formats=frozenset({"html"}))
    return [path.name for path in built.written]


def table(library: Library) -> str:
    made: Tabled = tabled(library, "change-cartridges", "KW-2")
    return made.to_text()


def faulty(library: Library) -> None:
    library.check(budget="much")  # type: ignore[arg-type]
    library.build("pages")  # type: ignore[arg-type]
    library.checks()  # type: ignore[attr-defined]
    crew("two")  # type: ignore[arg-type]
    draft(library)  # type: ignore[call-arg]

"""Printed pages to files: whole, in their place, the first page last."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from proctool.model.verdict import Judgement
from proctool.printing import ENDINGS, Printed
from proctool.publish.atomic import sweep, write
from proctool.render.site.entries import Entry
from proctool.results import Built, Outcome, Rebuilt
from proctool.site import Shelf, withdraw_site, write_site


@dataclass(frozen=True, slots=True)
class Made:
    """What came of a case: its pages, and why they were made anew; none where it is refused."""

    case: Outcome
    printed: Printed | None = None
    why: tuple[str, ...] = ()


def write_manuals(to: Path, cases: Iterable[Made], shelf: Shelf | None, left_out: tuple[str, ...]) -> Built:
    """Write the pages of each case, and those around them where they are wanted.

    What was built before of a case that has no pages now is taken away: nobody shall work from it. Where the
    pages around are not wanted, those of an earlier build then go with it.

    Raises:
        OSError: the folder cannot be written to. Files already there stay whole.
    """
    entries: list[Entry] = []
    around: list[Path] = []
    written: list[Path] = []
    withdrawn: list[Path] = []
    refused: list[Judgement] = []
    failed: list[tuple[Judgement, str]] = []
    anew: list[Rebuilt] = []
    sweep(to)
    for made in cases:
        case, pages = made.case, made.printed
        if pages is None or pages.entry is None:
            withdrawn += _withdraw(to / case.procedure / case.unit)
            if pages is None:
                refused.append(case.judgement)
            else:
                failed.append((case.judgement, pages.failed))
            continue
        for kind, (_, data) in pages.pages.items():
            path = to / case.procedure / f"{case.unit}.{ENDINGS[kind]}"
            write(path, data)
            written.append(path)
        entries.append(pages.entry)
        if made.why:
            anew.append(Rebuilt(case.procedure, case.unit, made.why))
    if shelf is not None:
        told = (*refused, *(judgement for judgement, _ in failed))
        around += write_site(to, shelf, entries, told) if entries else []
        withdrawn += withdraw_site(to, around)
        written += around[-1:]
    elif withdrawn:
        # The first page leads to what is gone, and only a build of the whole library writes it anew.
        withdrawn += withdraw_site(to)
    return Built(
        tuple(written),
        tuple(refused),
        left_out,
        tuple(withdrawn),
        tuple(around[:-1]),
        tuple(failed),
        tuple(anew),
    )


def _withdraw(stem: Path) -> list[Path]:
    """Take away the pages of a case that an earlier build wrote."""
    return [path for ending in ENDINGS.values() for path in _gone(stem.with_name(f"{stem.name}.{ending}"))]


def _gone(path: Path) -> list[Path]:
    with suppress(FileNotFoundError, NotADirectoryError):
        path.unlink()
        return [path]
    return []

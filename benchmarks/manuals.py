# ruff: noqa: T201 - a command prints
"""What pages cost: ``python -m benchmarks.manuals [--quick]``.

For a manual of the demonstration: the whole way from its view to a PDF against the PDF writer alone on the
same finished source, as a ratio of processor times, the least of some runs; and the size of its page. Without
``--quick`` all of the demonstration is then checked and built, with everything, in one process of its own:
its processor time against that of the PDF writer alone on all the same sheets, and the most memory it held.
Exits 1 where an aim is missed.
"""

from __future__ import annotations

import argparse
import resource
import sys
import tempfile
from collections.abc import Callable, Mapping
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from typing import TypeVar

from weasyprint import HTML

from benchmarks.demo import DEMO, least
from proctool.api import Library, open_library
from proctool.printing import shown
from proctool.render.html import card, page, tables
from proctool.render.pdf import fetcher, pdf

RATIO = 1.15
"""A PDF / the PDF writer alone, at most."""
SIZE = 400_000
"""Bytes of a self-contained page, at most."""
_Found = TypeVar("_Found")
CASES = (("change-cartridges", "KW-4"), ("replace-plate-gaskets", "HX-9"), ("sanitise-skid", "KW-4T"))


@dataclass(frozen=True, slots=True)
class Pages:
    """What the pages of one case cost."""

    name: str
    ratio: float
    size: int


@dataclass(frozen=True, slots=True)
class Build:
    """What it costs to build the whole demonstration."""

    files: int
    seconds: float
    """Processor time."""
    megabytes: float
    """The most memory that the process held."""


def pictures(library: Library, procedure: str) -> Mapping[str, bytes]:
    """The figures of a procedure by file name."""
    read = {file: library.figure(file) for file in library.figures_of(library.procedures[procedure])}
    return {file: data for file, data in read.items() if isinstance(data, bytes)}


def written(source: str) -> bytes:
    """A finished source as PDF by the PDF writer alone."""
    made: bytes = HTML(string=source, url_fetcher=fetcher()).write_pdf(pdf_variant="pdf/ua-1")
    return made


def measured(procedure: str, unit: str, times: int) -> Pages:
    """The PDF against the PDF writer alone, and the size of the page."""
    library = open_library(DEMO)
    (case,) = library.cases(procedure=procedure, unit=unit)
    view, figures = shown(case), pictures(library, procedure)
    source = page(view, figures, "paper")
    pdf(view, figures)  # the letters are cut once in a run
    alone = least(lambda: written(source), times)
    whole = least(lambda: pdf(view, figures), times)
    return Pages(f"{procedure} {unit}", whole / alone, len(page(view, figures).encode()))


def built() -> Build:
    """Check and build the demonstration, with pages, sheets, cards and tables, and the pages around them."""
    with tempfile.TemporaryDirectory() as folder:
        files: list[int] = []
        took = least(lambda: files.append(len(open_library(DEMO).build(Path(folder)).written)), 1)
    return Build(files[0], took, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)


def sheets() -> float:
    """The processor time of the PDF writer alone on all manuals, cards and tables of the demonstration."""
    library = open_library(DEMO)
    sources: list[str] = []
    for case in library.cases():
        view = shown(case)
        sources += (page(view, pictures(library, case.procedure), "paper"), card(view))
        sources += [tables(view)] if view.sheets else []
    return least(lambda: [written(source) for source in sources], 1)


def apart(work: Callable[[], _Found]) -> _Found:
    """What some work gives in a new process: its memory is its own."""
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        return pool.submit(work).result()


def main() -> int:
    """Measure and print."""
    asked = argparse.ArgumentParser(description="What pages cost.")
    asked.add_argument("--quick", action="store_true", help="one case, one run")
    quick = asked.parse_args().quick
    met = True
    for procedure, unit in CASES[:1] if quick else CASES:
        found = measured(procedure, unit, 1 if quick else 3)
        met &= found.size <= SIZE and (quick or found.ratio <= RATIO)
        print(
            f"{found.name}: {found.ratio:.2f} times the PDF writer alone, page of {found.size / 1000:.0f} kB"
        )
    if not quick:
        whole, alone = apart(built), apart(sheets)
        print(
            f"the demonstration whole: {whole.files} files, {whole.seconds / alone:.2f} times the PDF writer "
            f"alone, {whole.megabytes:.0f} MB at most"
        )
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main())

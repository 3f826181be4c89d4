# ruff: noqa: T201 - a command prints
"""What pages cost: ``python -m benchmarks.manuals [--quick]``.

For a manual of the demonstration: the whole way from its view to a PDF against the PDF writer alone on the
same finished source, as a ratio of processor times, the least of some runs; and the size of its page. Without
``--quick`` all of the demonstration is then built with everything in it, with the processor time it took and
the most memory the process held. Exits 1 where an aim is missed.
"""

from __future__ import annotations

import argparse
import resource
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from weasyprint import HTML

from benchmarks.demo import DEMO, least
from proctool.api import open_library
from proctool.printing import shown
from proctool.render.html import page
from proctool.render.pdf import fetcher, pdf

RATIO = 1.15
"""A PDF / the PDF writer alone, at most."""
SIZE = 400_000
"""Bytes of a self-contained page, at most."""
CASES = (("change-cartridges", "KW-4"), ("replace-plate-gaskets", "HX-9"), ("sanitise-skid", "KW-4T"))


@dataclass(frozen=True, slots=True)
class Pages:
    """What the pages of one case cost."""

    name: str
    ratio: float
    size: int


def measured(procedure: str, unit: str, times: int) -> Pages:
    """The PDF against the PDF writer alone, and the size of the page."""
    library = open_library(DEMO)
    (case,) = library.cases(procedure=procedure, unit=unit)
    view = shown(case)
    read = {file: library.figure(file) for file in library.figures_of(library.procedures[procedure])}
    pictures = {file: data for file, data in read.items() if isinstance(data, bytes)}
    source = page(view, pictures, "paper")
    pdf(view, pictures)  # the letters are cut once in a run
    alone = least(lambda: HTML(string=source, url_fetcher=fetcher()).write_pdf(pdf_variant="pdf/ua-1"), times)
    whole = least(lambda: pdf(view, pictures), times)
    return Pages(f"{procedure} {unit}", whole / alone, len(page(view, pictures).encode()))


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
        with tempfile.TemporaryDirectory() as folder:
            files: list[int] = []
            took = least(lambda: files.append(len(open_library(DEMO).build(Path(folder)).written)), 1)
        held = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"the demonstration whole: {files[0]} files, {took:.0f} s, {held:.0f} MB at most")
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main())

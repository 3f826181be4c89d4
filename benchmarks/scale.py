# ruff: noqa: T201 - a command prints
"""What a whole catalogue costs, and what little a second run: ``python -m benchmarks.scale [--quick]``.

Generated libraries are checked cold, then with nothing changed and with one fact of one unit changed, each
beside the cold check of the same process; by two processes, beside what two processes gain on plain
arithmetic; and at growing sizes, for the slope of the time and the memory of the largest. A PDF is told as
the share of its time that the PDF writer itself takes. Exits 1 where an aim is missed; `--quick` judges
nothing.
"""

from __future__ import annotations

import argparse
import gc
import json
import math
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from weasyprint import HTML

from benchmarks.demo import DEMO
from benchmarks.library import library
from proctool.api import Library, Means, crew, open_library, open_store
from proctool.kept.store import FOLDER, Store
from proctool.printing import shown
from proctool.render.html import page
from proctool.render.pdf import fetcher, pdf

DAY = date(2026, 11, 25)
NOTHING, ONE, GAIN, SLOPE, MEMORY, SHARE = 0.05, 0.15, 0.85, 1.1, 1.0, 0.85
"""The aims: share of a cold check; the same; share of the bare pool's gain; log-log; GB; share of a PDF."""
_ROUNDS = 3_000_000
"""Of the arithmetic that the bare pool does in each task."""


@dataclass(frozen=True, slots=True)
class Measure:
    """One line of the table."""

    what: str
    value: float
    aim: float
    least: bool = False
    """Whether the aim is the least it should be, and not the most."""

    @property
    def reached(self) -> bool:
        """Whether the aim is reached."""
        return self.value >= self.aim if self.least else self.value <= self.aim

    @property
    def row(self) -> str:
        """The line."""
        bound = "at least" if self.least else "at most"
        return (
            f"| {self.what} | {self.value:.3f} | {bound} {self.aim:g} | {'yes' if self.reached else 'no'} |"
        )


@contextmanager
def own_store() -> Iterator[Store]:
    """A store in a folder that goes away."""
    before = os.environ.get(FOLDER)
    with tempfile.TemporaryDirectory() as folder:
        os.environ[FOLDER] = str(Path(folder, "kept"))
        store = open_store()
        if store is None:
            raise OSError(f"no store in {folder}")
        try:
            yield store
        finally:
            store.close()
            os.environ.pop(FOLDER)
            if before is not None:
                os.environ[FOLDER] = before


def timed(work: Callable[[], object], clock: Callable[[], float] = time.perf_counter) -> float:
    """Seconds of some work."""
    gc.collect()
    start = clock()
    work()
    return clock() - start


def second_runs(procedures: int) -> tuple[Measure, Measure]:
    """Nothing changed, and one fact of one unit, against the cold check, all by one process."""
    files = _encoded(library(procedures))
    # A fact of a unit: its serial numbers.
    unit = "units/u0-1.yaml"
    changed = {**files, unit: files[unit].replace(b"100 and up", b"200 and up")}
    with own_store() as store:
        alone = Means(crew(1), store)

        def checked(given: dict[str, bytes]) -> float:
            return timed(lambda: Library(given).check(today=DAY, means=alone), time.process_time)

        cold, nothing, one = checked(files), checked(files), checked(changed)
    units = sum(name.startswith("units/u") for name in files)
    size = f"{procedures:,} procedures, {units} units"
    return (
        Measure(f"nothing changed / cold, {size}", nothing / cold, NOTHING),
        Measure(f"one fact of one unit changed / cold, {size}", one / cold, ONE),
    )


def gain(procedures: int) -> Measure:
    """What two processes gain on a check, as a share of what they gain on arithmetic alone."""
    files = _encoded(library(procedures))
    check_one = timed(lambda: Library(files).check(today=DAY, means=Means(crew(1))))
    check_two = timed(lambda: Library(files).check(today=DAY, means=Means(crew(2))))
    tasks = 24
    bare_one = timed(lambda: [_arithmetic(_ROUNDS) for _ in range(tasks)])
    with ProcessPoolExecutor(2) as pool:
        list(pool.map(_arithmetic, [1, 1]))
        bare_two = timed(lambda: list(pool.map(_arithmetic, [_ROUNDS] * tasks)))
    ours, theirs = check_one / check_two, bare_one / bare_two
    what = f"gain of two processes on {procedures:,} procedures / on arithmetic ({ours:.2f} / {theirs:.2f})"
    return Measure(what, ours / theirs, GAIN, least=True)


def _arithmetic(rounds: int) -> int:
    return sum(i * i for i in range(rounds))


def growth(sizes: tuple[int, ...]) -> tuple[Measure, Measure]:
    """The log-log slope of the time of a cold check over library size, and the memory of the largest."""
    found = []
    for size in sizes:
        made = subprocess.run(  # noqa: S603 - ourselves, in a process of its own for its memory
            [sys.executable, "-m", "benchmarks.scale", "--one", str(size)], capture_output=True, check=True
        )
        found.append(json.loads(made.stdout))
    xs, ys = [math.log(one["cases"]) for one in found], [math.log(one["seconds"]) for one in found]
    middle_x, middle_y = sum(xs) / len(xs), sum(ys) / len(ys)
    slope = sum((x - middle_x) * (y - middle_y) for x, y in zip(xs, ys, strict=True)) / sum(
        (x - middle_x) ** 2 for x in xs
    )
    cases = ", ".join(f"{one['cases']:,}" for one in found)
    return (
        Measure(f"log-log slope of time over size ({cases} cases)", slope, SLOPE),
        Measure(f"GB of memory for {found[-1]['cases']:,} cases", found[-1]["bytes"] / 1e9, MEMORY),
    )


def one_size(procedures: int) -> None:
    """A cold check by this process, told as JSON: cases, processor seconds, most bytes ever held."""
    files = _encoded(library(procedures))
    told: list[int] = []

    def check() -> None:
        told.append(len(Library(files).check(today=DAY).verdicts))

    seconds = timed(check, time.process_time)
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    print(json.dumps({"cases": told[0], "seconds": seconds, "bytes": most}))


def share_of_writer(times: int) -> Measure:
    """The PDF writer alone on the finished page, as a share of all that a PDF takes."""
    opened = open_library(DEMO)
    (case,) = opened.cases(procedure="change-cartridges", unit="KW-4", today=DAY)
    view = shown(case)
    source = page(view, {}, "paper")
    pdf(view, {})  # letters are cut once in a run
    alone = min(timed(lambda: HTML(string=source, url_fetcher=fetcher()).write_pdf()) for _ in range(times))

    def whole() -> None:
        (again,) = opened.cases(procedure="change-cartridges", unit="KW-4", today=DAY)
        pdf(shown(again), {})

    share = alone / min(timed(whole) for _ in range(times))
    return Measure("PDF writer alone / a PDF from its files on", share, SHARE, least=True)


def _encoded(files: dict[str, str]) -> dict[str, bytes]:
    return {name: text.encode() for name, text in files.items()}


def main() -> int:
    """Print the table; 1 where an aim is missed."""
    asked = argparse.ArgumentParser(prog="python -m benchmarks.scale", description="What a catalogue costs.")
    asked.add_argument("--quick", action="store_true", help="smaller, and nothing is judged")
    asked.add_argument("--one", type=int, help=argparse.SUPPRESS)
    given = asked.parse_args()
    if given.one is not None:
        one_size(given.one)
        return 0
    sizes = (10, 20, 40) if given.quick else (34, 340, 3400)
    print("| what | found | aim | reached |\n| --- | ---: | --- | --- |")
    measures: list[Measure] = []
    for measured in (
        lambda: second_runs(40 if given.quick else 1000),
        lambda: (gain(40 if given.quick else 300),),
        lambda: growth(sizes),
        lambda: (share_of_writer(1 if given.quick else 5),),
    ):
        for measure in measured():
            measures.append(measure)
            print(measure.row, flush=True)
    return 1 if any(not measure.reached for measure in measures) and not given.quick else 0


if __name__ == "__main__":
    sys.exit(main())

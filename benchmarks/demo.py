# ruff: noqa: T201 - a command prints
"""The proof of a demonstration case against reading its files: ``python -m benchmarks.demo [--quick]``.

For each procedure on each of its units: the files that the case is written in (its own, all blocks, the
unit with its bases, the library's) are read, checked by the schemas and turned into records; the proof
walks all orders; the monitors of the profile and of the house rules walk them again, one at a time.
Processor seconds of one process, the least of some runs, told as a ratio to reading. Exits 1 where the
aim is missed at the median.
"""

from __future__ import annotations

import argparse
import gc
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from proctool.api import Library, open_library
from proctool.model.plan import Plan
from proctool.model.verdict import DEFAULT_BUDGET
from proctool.network.reach import Network
from proctool.prove import prove, watch_each

DEMO = Path(__file__).parents[1] / "procedures"
AIM = 1.0
"""The proof / reading the files, at most."""


@dataclass(frozen=True, slots=True)
class Cost:
    """What one case takes, the time of reading its files being 1."""

    name: str
    steps: int
    pairs: int
    proof: float
    monitors: float


def least(work: Callable[[], object], times: int) -> float:
    """The least processor time of some runs."""
    found = float("inf")
    for _ in range(times):
        gc.collect()
        start = time.process_time()
        work()
        found = min(found, time.process_time() - start)
    return found


def read(texts: dict[str, str]) -> None:
    """Read the files of a case up to its records."""
    library = Library.from_texts(texts)
    if not (library.file and library.blocks and library.procedures and library.units.whole):
        raise ValueError("some file of the case cannot be read")


def files_of(texts: dict[str, str], procedure: str, unit: str) -> dict[str, str]:
    """The files that a case needs: found by their first keys, the unit's bases followed."""
    heads = {}
    for file, text in texts.items():
        first = next(line for line in text.splitlines() if line and not line.startswith("#"))
        kind, _, name = first.partition(":")
        heads[file] = kind, name.strip()
    wanted = {("procedure", procedure), ("unit", unit)}
    while True:
        needed = {
            f: texts[f] for f, head in heads.items() if head in wanted or head[0] in {"block", "library"}
        }
        lines = (line for text in needed.values() for line in text.splitlines())
        bases = {("base", line.partition(":")[2].strip()) for line in lines if line.startswith("based_on:")}
        if bases <= wanted:
            return needed
        wanted |= bases


def cost(library: Library, texts: dict[str, str], procedure: str, unit: str, times: int) -> Cost:
    """Measure one case."""
    case = next(library.cases(procedure=procedure, unit=unit))
    if case.plan is None:
        raise ValueError(f"{procedure} on {unit} is not resolved")
    plan: Plan = case.plan
    needed = files_of(texts, procedure, unit)
    reading = least(lambda: read(needed), times)
    proof = prove(plan)
    proving = least(lambda: prove(plan), times)
    net = Network(plan.unit)

    def walk() -> None:
        for _ in watch_each(plan, library.watchlist.monitors(plan, net), budget=DEFAULT_BUDGET):
            pass

    watching = least(walk, times)
    steps = len(plan.frame.steps)
    return Cost(f"{procedure} on {unit}", steps, proof.states, proving / reading, watching / reading)


def main() -> int:
    """Print the table; 1 where the aim is missed."""
    asked = argparse.ArgumentParser(prog="python -m benchmarks.demo", description="The proof and reading.")
    asked.add_argument("--quick", action="store_true", help="one run of each, nothing is judged")
    quick = asked.parse_args().quick
    library = open_library(DEMO)
    texts = {p.relative_to(DEMO).as_posix(): p.read_text(encoding="utf-8") for p in DEMO.rglob("*.yaml")}
    costs = [cost(library, texts, p.name, unit, 1 if quick else 5) for p, unit in library.pairs()]
    print(
        "| case | steps | pairs | proof / reading | monitors / reading |", "| --- |" + " ---: |" * 4, sep="\n"
    )
    for c in costs:
        print(f"| {c.name} | {c.steps} | {c.pairs:,} | {c.proof:.2f} | {c.monitors:.2f} |")
    middle = median(c.proof for c in costs)
    beside = median(c.monitors for c in costs)
    print(f"\nmedian: proof {middle:.2f}, monitors {beside:.2f} (aim for the proof: at most {AIM:.0f})")
    return 0 if quick or middle <= AIM else 1


if __name__ == "__main__":
    sys.exit(main())

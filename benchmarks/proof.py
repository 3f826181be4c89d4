# ruff: noqa: T201 - a command prints
"""What the proof costs: ``python -m benchmarks.proof [--quick]``.

Prints tables as they stand in benchmarks/README.md. Times are processor seconds, the least of some runs, and
are told as ratios to something run in the same process: another size, or the plain walk. Pairs are counts and
are the same on every machine. Exits 1 where an aim is missed; times of `--quick` are printed, not judged.
"""

from __future__ import annotations

import argparse
import gc
import sys
import time
import tracemalloc
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from math import log
from statistics import median

from benchmarks.families import FAMILIES
from proctool.model.plan import Plan
from proctool.model.verdict import Proof
from proctool.prove import prove
from proctool.prove.shortcuts import PLAIN

MOST_PAIRS, MOST_MB, MOST_SLOPE = 1000, 100.0, 1.2
"""The aims: for branches of their own, and for time against steps."""


@dataclass(frozen=True, slots=True)
class Run:
    """One instance proven with all shortcuts."""

    name: str
    proof: Proof
    seconds: float
    megabytes: float


def timed(work: Callable[[], Proof], times: int) -> tuple[Proof, float]:
    """What the work gives, and its least processor time."""
    least, proof = float("inf"), work()
    for _ in range(times):
        gc.collect()
        start = time.process_time()
        proof = work()
        least = min(least, time.process_time() - start)
    return proof, least


def peak(work: Callable[[], Proof]) -> float:
    """The most memory that the work holds at once, in megabytes."""
    gc.collect()
    tracemalloc.start()
    try:
        work()
        return tracemalloc.get_traced_memory()[1] / 1e6
    finally:
        tracemalloc.stop()


def run(name: str, plan: Plan, times: int) -> Run:
    """Prove one instance."""
    proof, seconds = timed(partial(prove, plan), times)
    return Run(name, proof, seconds, peak(partial(prove, plan)))


def slope(points: list[tuple[int, float]]) -> float:
    """The slope of a straight line through the logarithms, by least squares."""
    xs, ys = [log(x) for x, _ in points], [log(y) for _, y in points]
    mx, my = sum(xs) / len(xs), sum(ys) / len(ys)
    return sum((x - mx) * (y - my) for x, y in zip(xs, ys, strict=True)) / sum((x - mx) ** 2 for x in xs)


def in_series(sizes: tuple[int, ...], times: int) -> tuple[list[str], float]:
    """Steps one after the other: lines of a table, and the slope."""
    runs = {size: run(f"series {size}", FAMILIES["series"](size, 0), times) for size in sizes}
    first = runs[sizes[0]].seconds
    lines = ["| steps | pairs | time against the first | MB |", "| ---: | ---: | ---: | ---: |"]
    for size, r in runs.items():
        lines.append(f"| {size} | {r.proof.states:,} | {r.seconds / first:.1f} | {r.megabytes:.1f} |")
    return lines, slope([(size, r.seconds) for size, r in runs.items()])


def side_by_side(times: int) -> Iterator[Run]:
    """2, 4, 8 branches of ten acting steps that share nothing."""
    for family in ("vented", "valves"):
        for branches in (2, 4, 8):
            yield run(f"{family} {branches}", FAMILIES[family](branches, 0), times)


def rows(runs: list[Run], budget_plain: int) -> list[str]:
    """Runs as a table, beside the plain walk."""
    lines = [
        "| instance | orders | answer | breaches | pairs | plain pairs | time, plain = 1 | MB |",
        "| --- | ---: | --- | ---: | ---: | ---: | ---: | ---: |",
    ]
    for r in runs:
        family, size, *seed = r.name.split()
        plan = FAMILIES[family](int(size), int(seed[0]) if seed else 0)
        plain, seconds = timed(partial(prove, plan, budget=budget_plain, shortcuts=PLAIN), 1)
        pairs = f"{plain.states:,}" if plain.explored else f"over {budget_plain:,}"
        both = plain.explored or not r.proof.explored
        ratio = f"{r.seconds / seconds:.3f}" if both else f"under {r.seconds / seconds:.4f}"
        orders = f"{r.proof.orders:.1e}" if r.proof.orders else "not counted"
        settled = "settled" if r.proof.explored else "unproven"
        lines.append(
            f"| {r.name} | {orders} | {settled} | {len(r.proof.breaches)} | {r.proof.states:,} | {pairs} "
            f"| {ratio} | {r.megabytes:.1f} |"
        )
    return lines


def mixed(count: int) -> list[str]:
    """Random branches and almost free steps, each against the plain walk: pairs and times as ratios."""
    lines = ["| family | instances | pairs, median of plain / ours | time, median of plain / ours |"]
    lines.append("| --- | ---: | ---: | ---: |")
    for family, size in (("loose", 3), ("loose", 4), ("almost_free", 12)):
        pairs, times = [], []
        for seed in range(count):
            plan = FAMILIES[family](size, seed)
            ours, seconds = timed(partial(prove, plan), 1)
            plain, slow = timed(partial(prove, plan, shortcuts=PLAIN), 1)
            pairs.append(plain.states / ours.states)
            times.append(slow / seconds)
        lines.append(f"| {family} {size} | {count} | {median(pairs):.2f} | {median(times):.2f} |")
    return lines


def main() -> int:
    """Print all tables; 1 where an aim is missed."""
    asked = argparse.ArgumentParser(prog="python -m benchmarks.proof", description="What the proof costs.")
    asked.add_argument("--quick", action="store_true", help="smaller, and only pairs are judged")
    quick = asked.parse_args().quick
    times = 2 if quick else 9
    missed = []

    lines, steep = in_series((50, 100, 200) if quick else (50, 100, 200, 400, 800), times)
    print("## One step after the other\n", *lines, sep="\n")
    print(f"\nlog-log slope of time against steps: {steep:.2f} (aim: at most {MOST_SLOPE})\n")
    if steep > MOST_SLOPE and not quick:
        missed.append(f"slope {steep:.2f}")

    runs = list(side_by_side(times))
    print("## Branches that share nothing\n", *rows(runs, 20_000 if quick else 200_000), sep="\n")
    print(f"\naims: at most {MOST_PAIRS:,} pairs and {MOST_MB:.0f} MB\n")
    missed += [r.name for r in runs if r.proof.states > MOST_PAIRS or r.megabytes > MOST_MB]

    sizes = (2, 3) if quick else (3, 4, 8)
    some = [run(f"unvented {size}", FAMILIES["unvented"](size, 0), 1) for size in sizes]
    some += (
        []
        if quick
        else [run(f"almost_free 20 {seed}", FAMILIES["almost_free"](20, seed), 1) for seed in (0, 1)]
    )
    print("## Branches that truly interfere\n", *rows(some, 20_000 if quick else 200_000), sep="\n")
    print("\naim: settled or unproven within the budget of 200,000 pairs\n")

    lines = mixed(5 if quick else 30)
    print("## Random branches\n", *lines, sep="\n")
    print(f"\naims missed: {', '.join(missed) or 'none'}")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())

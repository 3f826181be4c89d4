# ruff: noqa: T201 - a command prints
"""What a whole check costs: ``python -m benchmarks.check [--quick]``.

Checks a generated library in one process, and reads the same files with libyaml alone, as fast as Python can
get plain data out of them. Then starts `proctool check` on one file of a small library, beside a Python that
only imports a parser and a graph library. Times are told as ratios. Exits 1 where an aim is missed; times of
`--quick` are printed, not judged.
"""

from __future__ import annotations

import argparse
import gc
import os
import subprocess
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from statistics import median
from typing import Any
from unittest.mock import patch

import yaml

from benchmarks.library import library
from proctool.api import Library

MOST_WHOLE, MOST_ONE = 8.0, 3.0
"""The aims: a whole library against reading its files, and one file against two imports."""

STAGES = {
    "read, and hold against the schemas": ("proctool.records.read",),
    "decode, and put units together": (
        *(f"proctool.records.decode.{kind}" for kind in ("library", "block", "procedure", "profile")),
        "proctool.records.build_units",
    ),
    "resolve": ("proctool.casework.resolve",),
    "prove": ("proctool.casework.prove",),
    "watch house rules and orders of control": (
        "proctool.casework.watch_each",
        "proctool.casework.over_orders",
    ),
    "rules over plans, and stories": (
        *(f"proctool.casework.{name}" for name in ("over_plan", "judge", "explained")),
    ),
    "rules over texts, heads, units and the library": (
        *(f"proctool.library.Around.{name}" for name in ("of_cases", "of_library")),
        "proctool.library.over_document",
        "proctool.records.texts",
    ),
}
"""What is timed apart, by the names it is called under."""


@contextmanager
def timed_stages() -> Iterator[dict[str, float]]:
    """Seconds spent in each stage while the context is open; stages do not call one another."""
    spent: dict[str, float] = defaultdict(float)

    def clocked(stage: str, work: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **named: Any) -> Any:  # noqa: ANN401 - whatever the stage takes and gives
            start = time.process_time()
            try:
                return work(*args, **named)
            finally:
                spent[stage] += time.process_time() - start

        return call

    patches = []
    for stage, names in STAGES.items():
        for name in names:
            owner, _, attribute = name.rpartition(".")
            patches.append(patch(name, clocked(stage, getattr(_found(owner), attribute))))
    for one in patches:
        one.start()
    try:
        yield spent
    finally:
        for one in patches:
            one.stop()


def _found(name: str) -> Any:  # noqa: ANN401 - a module, or a class in one
    try:
        return import_module(name)
    except ModuleNotFoundError:
        owner, _, attribute = name.rpartition(".")
        return getattr(_found(owner), attribute)


def whole(procedures: int) -> tuple[float, dict[str, float], str]:
    """A library checked against its files read: the ratio, the share of each stage, what was checked."""
    files = {file: text.encode() for file, text in library(procedures).items()}
    gc.collect()
    start = time.process_time()
    parsed = [yaml.load(data, Loader=yaml.CSafeLoader) for data in files.values()]
    reading = time.process_time() - start
    written = [len(one["steps"]) for one in parsed if "procedure" in one]
    del parsed
    gc.collect()
    with timed_stages() as spent:
        start = time.process_time()
        check = Library(files).check()
        checking = time.process_time() - start
    spent["the rest"] = checking - sum(spent.values())
    safe = sum(judgement.verdict == "safe" for judgement in check.verdicts)
    told = (
        f"{procedures:,} procedures, median {median(written):.0f} steps as written, {len(check.verdicts):,} "
        f"cases, {safe:,} of them safe, {len(check.findings):,} findings; "
        f"{1000 * checking / len(check.verdicts):.1f} ms for a case"
    )
    return checking / reading, {stage: seconds / checking for stage, seconds in spent.items()}, told


def one_file(times: int, procedures: int) -> float:
    """Starting `check` on one file against starting Python with two imports, each the median of some runs."""
    with tempfile.TemporaryDirectory() as folder:
        for name, text in library(procedures).items():
            path = Path(folder, name)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        (file,) = Path(folder).glob("*/p0.yaml")
        ours = [sys.executable, "-m", "proctool", "check", str(file)]
        theirs = [sys.executable, "-c", "import yaml, networkx"]
        kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
        environment = {**kept, "PYTHONPYCACHEPREFIX": str(Path(folder, ".compiled"))}
        took: dict[str, list[float]] = {"ours": [], "theirs": []}
        for _ in range(times + 1):  # the first run compiles, as installing does
            for who, command in (("ours", ours), ("theirs", theirs)):
                start = _children()
                subprocess.run(command, check=True, capture_output=True, env=environment)  # noqa: S603
                took[who].append(_children() - start)
    return median(took["ours"][1:]) / median(took["theirs"][1:])


def _children() -> float:
    """Processor seconds of all commands that were called and have ended."""
    times = os.times()
    return times.children_user + times.children_system


def main() -> int:
    """Print the tables; 1 where an aim is missed."""
    asked = argparse.ArgumentParser(prog="python -m benchmarks.check", description="What a check costs.")
    asked.add_argument("--quick", action="store_true", help="smaller, and nothing is judged")
    quick = asked.parse_args().quick
    ratio, shares, told = whole(30 if quick else 1000)
    print(f"## A whole library\n\n{told}.\n")
    print("| stage | share |\n| --- | ---: |")
    for stage, share in shares.items():
        print(f"| {stage} | {100 * share:.0f} % |")
    print(f"\nTime against reading the same files: {ratio:.1f} (aim: at most {MOST_WHOLE:.0f})")
    times = 1 if quick else 9
    alone, among = one_file(times, 1), one_file(times, 100)
    print(f"\n## One file\n\nTime against two imports: {alone:.1f} (aim: at most {MOST_ONE:.0f})")
    print(f"and in a library of 100 procedures and 100 unit files: {among:.1f}")
    missed = [
        name
        for name, value, most in (("whole", ratio, MOST_WHOLE), ("one file", alone, MOST_ONE))
        if value > most
    ]
    print(f"\naims missed: {', '.join(missed) or 'none'}")
    return 1 if missed and not quick else 0


if __name__ == "__main__":
    sys.exit(main())

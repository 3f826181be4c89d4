# ruff: noqa: T201 - a command prints
"""What a draft costs: ``python -m benchmarks.draft [--quick]``.

For each unit of the demo library, a draft for each part that can be opened is timed against one check of that
unit's procedures, in the same process. Then one housing is drafted in rows of housings that grow to 500
parts, and the log-log slope of time against parts is told. Times are processor times, told as ratios. Exits 1
where an aim is missed; times of `--quick` are printed, not judged.
"""

from __future__ import annotations

import argparse
import gc
import math
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import linear_regression, median

from proctool.api import DraftOrder, Library, draft, open_library
from proctool.model.unit import Unit
from proctool.model.words import Role

DEMO = Path(__file__).parents[1] / "procedures"
MOST_RATIO, MOST_SLOPE = 1.5, 2.0
"""The aims: a draft against one check of the unit's procedures, and the slope of its growth."""

_LIBRARY = "library: Rows\npeople: {fitter: fitter}\nppe: {glasses: safety glasses}\n"
_WARNING = "{word: warning, hazard: Water under pressure., harm: It can injure you., avoid: Keep away.}"
_HOUSING = """\
  v{i}: {{role: isolator, device: valve, name: valve {i}, tag: V{i}, lock: hasp, throttles: true, place: x}}
  h{i}: {{role: component, name: housing {i}, near: [], traps_air: true, tighten: 20 N·m}}
  r{i}: {{role: restriction, name: cartridge {i}, near: []}}
  b{i}: {{role: vent, name: button {i}, tag: B{i}, to: bucket}}
  p{i}: {{role: gauge, name: gauge {i}, tag: P{i}, at: h{i}, energy: water, span: 10 bar}}
"""


def row(housings: int) -> Library:
    """Housings in a row, each with a valve, a cartridge, a vent and a gauge; a main at each end."""
    names = [f"{kind}{i}" for i in range(housings) for kind in "vhr"]
    parts = "".join(_HOUSING.format(i=i) for i in range(housings))
    vents = "".join(f"  b{i}: {{energy: water, path: [h{i}, b{i}]}}\n" for i in range(housings))
    unit = (
        "unit: ROW\ntitle: Row of housings\nenergies:\n"
        f"  water: {{form: liquid_pressure, normal: 4 bar, safe: 0 bar, warning: {_WARNING}}}\n"
        f"parts:\n  main: {{role: source, name: water main}}\n{parts}"
        "  tap: {role: outlet, name: tap, why: another main}\n"
        f"lines:\n  main: {{energy: water, path: [main, {', '.join(names)}, tap]}}\n{vents}"
    )
    return Library.from_texts({"library.yaml": _LIBRARY, "unit.yaml": unit})


def seconds(work: Callable[[], object], times: int = 1) -> float:
    """Processor time of some work, the median of a few runs."""
    took = []
    for _ in range(times):
        gc.collect()
        start = time.process_time()
        work()
        took.append(time.process_time() - start)
    return median(took)


def order(unit: str, part: str) -> DraftOrder:
    """A draft that opens one part."""
    return DraftOrder(unit, (part,), "drafted", "drafted.yaml")


def openable(unit: Unit) -> tuple[str, ...]:
    """Components and stores: what is opened most."""
    return tuple(part.id for part in unit.parts.values() if part.role in {Role.COMPONENT, Role.STORE})


def against_check(library: Library, unit: str, parts: int | None = None) -> list[float]:
    """For parts of a unit the time of a draft, the check of the unit's procedures being 1."""
    library.check(unit=unit)  # what is read once is read
    check = seconds(lambda: library.check(unit=unit), 3)
    found = openable(library.units.whole[unit])[:parts]
    return [seconds(partial(draft, library, order(unit, part))) / check for part in found]


def growth(sizes: tuple[int, ...]) -> tuple[list[tuple[int, float, bool]], float]:
    """For rows of housings: parts, seconds of a draft in the middle, whether it is safe; and the slope."""
    measured = []
    for housings in sizes:
        library = row(housings)
        parts = len(library.units.whole["ROW"].parts)
        asked = order("ROW", f"h{housings // 2}")
        safe = bool(draft(library, asked).proposals)
        measured.append((parts, seconds(partial(draft, library, asked), 3), safe))
    slope, _ = linear_regression(
        [math.log(parts) for parts, *_ in measured], [math.log(took) for _, took, _ in measured]
    )
    return measured, slope


def main() -> None:
    """Print the tables of the page."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--quick", action="store_true", help="smaller tables, not judged")
    quick = parser.parse_args().quick
    library = open_library(DEMO)
    print("| unit | drafts | median of draft / check | slowest |\n| --- | ---: | ---: | ---: |")
    medians = []
    for unit in sorted(library.units.whole)[: 2 if quick else None]:
        ratios = against_check(library, unit, 2 if quick else None)
        medians.append(median(ratios))
        print(f"| {unit} | {len(ratios)} | {median(ratios):.2f} | {max(ratios):.2f} |")
    measured, slope = growth((4, 6) if quick else (6, 12, 25, 50, 100))
    print("\n| parts | time against the first | safe |\n| ---: | ---: | --- |")
    for parts, took, safe in measured:
        print(f"| {parts} | {took / measured[0][1]:.1f} | {'yes' if safe else 'no'} |")
    print(f"\nLog-log slope of time against parts: {slope:.2f} (aim: at most {MOST_SLOPE}).")
    good = max(medians) <= MOST_RATIO and slope <= MOST_SLOPE and all(safe for *_, safe in measured)
    if not quick and not good:
        sys.exit(1)


if __name__ == "__main__":
    main()

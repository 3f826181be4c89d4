# ruff: noqa: T201 - a command prints
"""The proof against a general solver: ``python -m benchmarks.against_solver [--cases N] [--first SEED]``.

The same flat problems (`tests/solver`: 12 to 20 steps, five seeded families) are given to the answer-set
solver clingo and to the package. First both stop at the first violation of any rule of the proof, or go on
until they know that there is none; then the package collects all findings, each with its shortest trace,
while the solver still gives its one answer. Times are processor seconds of the same process, told as solver
/ package: 10 means that the package took a tenth. The solver's time holds grounding and solving, the
package's from the resolved plan on: both start from a problem in memory. What the solver does not settle
within its conflicts counts with the time it took up to there, so that such ratios are too small. Exits 1
where an aim or the agreement fails.
"""

from __future__ import annotations

import argparse
import gc
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median, quantiles
from typing import Any, TypeVar

from proctool.api import RULES, Library
from proctool.model.plan import Plan
from proctool.model.verdict import DEFAULT_BUDGET
from proctool.prove import ALL, prove
from proctool.prove.course import Course, Node, Onward
from proctool.prove.sweep import Link, SpentError, sweep
from tests.oracle.text import files
from tests.solver.encode import problem
from tests.solver.flat import FAMILIES, case
from tests.solver.solve import NotSettledError, reaches_any

AIM_MEDIAN, AIM_MOST = 10.0, 1.0
"""Solver / package: at the median, and for 95 of 100 instances."""
CONFLICTS = 20_000
"""After so many the solver gives up on one instance."""

Answer = TypeVar("Answer")


class _FoundError(Exception):
    """A violation was met."""


@dataclass(frozen=True, slots=True)
class Race:
    """One instance: both answers to "is there a violation", None where not settled, and both times."""

    name: str
    solver: bool | None
    package: bool | None
    solver_seconds: float
    first_seconds: float
    """Of the package, up to the first violation."""
    all_seconds: float
    """Of the package, with all findings."""

    @property
    def agrees(self) -> bool:
        """Whether no judge contradicts the other."""
        return None in {self.solver, self.package} or self.solver is self.package


def timed(work: Callable[[], Answer]) -> tuple[Answer, float]:
    """What the work gives, and the lesser processor time of two runs."""

    def once() -> tuple[Answer, float]:
        gc.collect()
        start = time.process_time()
        return work(), time.process_time() - start

    answer, seconds = once()
    return answer, min(seconds, once()[1])


def breaks_any(plan: Plan, budget: int = DEFAULT_BUDGET) -> bool | None:
    """Whether any order breaks any rule of the proof, found by the package's walk; None if not settled."""
    course = Course(plan, budget, ALL)

    def look(onward: Onward) -> None:
        if any(RULES[report.rule].of_proof for _, report in onward.reports):
            raise _FoundError

    def watch(_node: Node, _step: str, onward: Onward) -> None:
        look(onward)

    try:
        start = course.start()
        look(start)
        sweep(course, [Link(node) for node in start.nodes], goals=None, watch=watch)
    except _FoundError:
        return True
    except SpentError:
        return None
    return False


def asked(unit: dict[str, Any], procedure: dict[str, Any]) -> bool | None:
    """What the solver answers."""
    try:
        return reaches_any(problem(unit, procedure), CONFLICTS)
    except NotSettledError:
        return None


def race(family: str, seed: int) -> Race:
    """Both on one instance."""
    unit, procedure = case(family, seed)
    library = Library.from_texts(files(unit, procedure))
    plan = next(library.cases(budget=1)).plan
    if plan is None:
        raise ValueError(f"{family}, seed {seed} is not resolved")
    solver, slow = timed(lambda: asked(unit, procedure))
    package, first = timed(lambda: breaks_any(plan))
    _, whole = timed(lambda: prove(plan))
    return Race(f"{family}, seed {seed}", solver, package, slow, first, whole)


def row(name: str, races: list[Race]) -> str:
    """A line of the table."""
    cells = [name, str(len(races)), str(sum(race.package is True for race in races))]
    cells.append(str(sum(None in {race.solver, race.package} for race in races)))
    for ratios in (
        [race.solver_seconds / race.first_seconds for race in races],
        [race.solver_seconds / race.all_seconds for race in races],
    ):
        cells += [f"{value:.1f}" for value in (median(ratios), slowest(ratios), min(ratios))]
    return f"| {' | '.join(cells)} |"


def slowest(ratios: list[float]) -> float:
    """The ratio that 95 of 100 instances reach."""
    return quantiles(ratios, n=20, method="inclusive")[0]


def main() -> int:
    """Print the table and the agreement; 1 where an aim is missed or the two judges differ."""
    parser = argparse.ArgumentParser(
        prog="python -m benchmarks.against_solver", description="The proof against clingo."
    )
    parser.add_argument("--cases", type=int, default=40, help="how many of each family (40)")
    parser.add_argument("--first", type=int, default=0, help="the first seed (0)")
    said = parser.parse_args()
    seeds = range(said.first, said.first + said.cases)
    races = {family: [race(family, seed) for seed in seeds] for family in FAMILIES}
    every = [race for family in races.values() for race in family]
    print(
        "| family | instances | breaking | not settled by both | first violation: median | 95 of 100 | least "
        "| all findings: median | 95 of 100 | least |",
        "| --- |" + " ---: |" * 9,
        *(row(family, found) for family, found in races.items()),
        row("all", every),
        sep="\n",
    )
    wrong = [race.name for race in every if not race.agrees]
    print(f"\nagreement: {len(every)} cases, {len(wrong)} disagreements {', '.join(wrong)}")
    ratios = [race.solver_seconds / race.first_seconds for race in every]
    reached = median(ratios) >= AIM_MEDIAN and slowest(ratios) >= AIM_MOST
    said_so = "reached" if reached else "missed"
    print(f"aims (median at least {AIM_MEDIAN:.0f}, 95 of 100 at least {AIM_MOST:.0f}): {said_so}")
    return 0 if reached and not wrong else 1


if __name__ == "__main__":
    sys.exit(main())

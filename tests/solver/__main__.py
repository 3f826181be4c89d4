# ruff: noqa: T201 - a command prints
"""Hold the package against the solver.

``python -m tests.solver [--cases N] [--first SEED] [--family NAME] [--conflicts N] [--demo] [--damaged]``

Takes N seeds of each family of flat problems and compares the findings of the proof, as sets of (rule, step,
part).  ``--demo`` takes the demonstration procedures instead; ``--damaged`` also each of them without each of
its steps, and with each of its steps free of all order.  Exits 1 if any problem differs.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Iterator

from .agree import Comparison, by_solver, compare
from .demo import by_package, damaged, plans, problem_of
from .flat import FAMILIES, case
from .solve import CONFLICTS

Named = tuple[str, Comparison]


def random_problems(families: list[str], first: int, count: int, conflicts: int) -> Iterator[Named]:
    """Each seed of each family."""
    for family in families:
        for seed in range(first, first + count):
            yield f"{family}, seed {seed}", compare(*case(family, seed), conflicts)


def demo_problems(conflicts: int, *, broken: bool) -> Iterator[Named]:
    """Each demonstration procedure on each unit, all checks passing; damaged ones too if asked for."""
    for plan in plans():
        name = f"{plan.procedure} on {plan.unit.id}"
        for said, each in [("", plan), *(damaged(plan) if broken else [])]:
            package, whole = by_package(each)
            solver, ended = by_solver(problem_of(each), conflicts)
            yield f"{name} {said}".strip(), Comparison(solver, package, ended, whole)


def report(problems: Iterator[Named]) -> bool:
    """Print each disagreement and the counts; gives whether the judges agree."""
    began = time.monotonic()
    tried = violating = 0
    differ, open_ends = [], []
    rules: set[str] = set()
    for name, said in problems:
        tried += 1
        violating += bool(said.solver or said.package)
        rules |= {rule for rule, _, _ in said.package}
        if not said.settled:
            open_ends.append(f"{name} ({'the package' if said.solver_ended else 'the solver'})")
        if said.differences:
            differ.append(name)
            print(f"{name}:", *said.differences, sep="\n    ")
    if open_ends:
        print(f"not settled by one judge, so compared as far as it came: {'; '.join(open_ends)}")
    print(
        f"{tried} problems, {violating} of them breaking some of {len(rules)} rules, {len(open_ends)} not "
        f"settled by both, {time.monotonic() - began:.0f} s: {len(differ)} disagreements"
    )
    return not differ


def main() -> int:
    """Run the comparison from the command line."""
    asked = argparse.ArgumentParser(
        prog="python -m tests.solver", description="Hold the package against the solver."
    )
    asked.add_argument("--cases", type=int, default=40, help="how many of each family (40)")
    asked.add_argument("--first", type=int, default=0, help="the first seed (0)")
    asked.add_argument("--family", choices=list(FAMILIES), help="only this family")
    asked.add_argument(
        "--conflicts",
        type=int,
        default=CONFLICTS,
        help=f"how many until the solver gives up on one problem ({CONFLICTS})",
    )
    asked.add_argument("--demo", action="store_true", help="the demonstration procedures instead")
    asked.add_argument("--damaged", action="store_true", help="with --demo: damaged in all single ways too")
    said = asked.parse_args()
    if said.demo:
        agree = report(demo_problems(said.conflicts, broken=said.damaged))
    else:
        families = [said.family] if said.family else list(FAMILIES)
        agree = report(random_problems(families, said.first, said.cases, said.conflicts))
    return 0 if agree else 1


if __name__ == "__main__":
    sys.exit(main())

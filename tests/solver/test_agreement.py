"""Solver, plain walk and package on the same flat problems.  ``python -m tests.solver`` tries many more."""

from __future__ import annotations

import pytest

from tests.oracle.cases import case as small_case
from tests.oracle.walker import walk
from tests.solver.agree import compare
from tests.solver.demo import by_package, damaged, plans, problem_of
from tests.solver.encode import NotFlatError, problem
from tests.solver.flat import FAMILIES, FEWEST, MOST, case, flattened
from tests.solver.solve import NotSettledError, reaches, violations, violations_of

UNIT = {
    "unit": "U",
    "title": "Case unit",
    "energies": {"water": {"form": "liquid_pressure", "normal": "4 bar", "safe": "0 bar"}},
    "parts": {
        "main": {"role": "source"},
        "valve": {"role": "isolator", "device": "valve"},
        "housing": {"role": "component"},
        "button": {"role": "vent"},
    },
    "lines": {
        "line": {"energy": "water", "path": ["main", "valve", "housing"]},
        "way_out": {"energy": "water", "path": ["housing", "button"]},
    },
}
SAFE = [
    ("isolate", "valve"),
    ("lock", "valve"),
    ("vent", "button"),
    ("verify_zero", {"part": "housing", "by": "button"}),
    ("open", "housing"),
    ("close", "housing"),
    ("shut", "button"),
    ("unlock", "valve"),
    ("connect", "valve"),
    ("leak_check", "housing"),
]
# The seeds of these families that neither judge takes long over.
QUICK = {"own valves": [0, 1, 3, 4], "almost free": [2, 6, 7]}


def job(**changed):
    """The safe job, one step for each act; ``changed`` gives a step other keys."""
    steps = [{"id": verb, "do": "Do it.", verb: what, **changed.get(verb, {})} for verb, what in SAFE]
    return {"procedure": "p", "title": "Job", "units": ["U"], "steps": steps}


class TestByHand:
    def test_the_safe_job_breaks_nothing(self):
        assert violations(UNIT, job()) == set()
        assert not reaches(UNIT, job())

    def test_a_free_lock_may_come_too_late(self):
        late = job(
            vent={"after": ["isolate"]}, verify_zero={"after": ["vent"]}, open={"after": ["verify_zero"]}
        )
        assert violations(UNIT, late) == {("energy/opened-unlocked", "open", "housing")}
        assert reaches(UNIT, late)

    def test_a_failed_reading_proves_nothing_but_ends_the_job(self):
        reading = job()
        reading["steps"][3] = {"id": "verify_zero", "check": "No flow.", **dict(SAFE[3:4])}
        assert violations(UNIT, reading) == set()
        reading["steps"][3]["otherwise"] = {"continue": "true"}
        assert violations(UNIT, reading) == {("energy/opened-unproven", "open", "housing")}

    def test_a_job_that_ends_with_a_live_housing_unchecked(self):
        ending = job()
        ending["steps"][9] = {"id": "leak_check", "check": "No drip.", "leak_check": "housing"}
        assert violations(UNIT, ending) == {("graph/end-unsafe", "leak_check", "housing")}

    def test_steps_of_an_otherwise_are_refused(self):
        branching = job()
        branching["steps"][3] = {
            "id": "verify_zero",
            "check": "No flow.",
            **dict(SAFE[3:4]),
            "otherwise": {"steps": [], "back_to": "vent"},
        }
        with pytest.raises(NotFlatError):
            violations(UNIT, branching)

    def test_a_search_that_takes_too_long_is_not_an_answer(self):
        with pytest.raises(NotSettledError):
            violations(*case("almost free", 1), conflicts=1)


@pytest.mark.parametrize("first", range(0, 120, 20))
def test_solver_and_walk_agree_on_small_problems(first):
    for seed in range(first, first + 20):
        unit, procedure = small_case(seed)
        procedure = flattened(procedure)
        assert violations(unit, procedure) == walk(unit, procedure), f"seed {seed}"


@pytest.mark.parametrize("family", FAMILIES)
def test_solver_and_package_agree_on_large_problems(family):
    for seed in QUICK.get(family, range(5)):
        said = compare(*case(family, seed))
        assert said.settled, f"seed {seed} is not settled"
        assert not said.differences, f"seed {seed}"
        assert reaches(*case(family, seed)) == bool(said.solver), f"seed {seed}"


@pytest.mark.parametrize("family", FAMILIES)
def test_large_problems_are_large_and_their_seeds_alone_decide(family):
    for seed in range(10):
        asked = problem(*case(family, seed))
        assert FEWEST <= len(asked.steps) <= MOST
        assert asked == problem(*case(family, seed))


def test_large_problems_are_of_both_kinds():
    assert {reaches(*case("branches on one line", seed)) for seed in range(5)} == {True, False}


def test_solver_and_package_agree_on_the_demonstration():
    tried = list(plans("KW-2", "PS-2"))
    assert len(tried) == 5
    for plan in tried:
        assert (violations_of(problem_of(plan)), True) == by_package(plan), plan.procedure


def test_solver_and_package_agree_on_a_damaged_demonstration():
    plan = next(plans("PS-2"))
    broken = 0
    for said, each in damaged(plan):
        package, whole = by_package(each)
        assert whole and violations_of(problem_of(each)) == package, said
        broken += bool(package)
    assert broken

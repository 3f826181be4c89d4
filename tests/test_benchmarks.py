"""The measures of `make bench` in a form quick enough for every day: what they count, never how long it takes."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmarks import against_solver, demo
from proctool.api import open_library
from tests.solver.flat import FAMILIES

DEMO = Path(__file__).parents[1] / "procedures"


class TestAgainstTheSolver:
    @pytest.mark.parametrize("family", FAMILIES)
    def test_both_answer_alike_and_are_timed(self, family: str) -> None:
        race = against_solver.race(family, 2)
        assert race.agrees
        assert race.package is not None
        assert min(race.solver_seconds, race.first_seconds, race.all_seconds) > 0

    def test_a_walk_that_is_cut_short_settles_nothing(self) -> None:
        plan = next(open_library(DEMO).cases(procedure="change-cartridges", unit="KW-2")).plan
        assert plan is not None
        assert against_solver.breaks_any(plan, budget=5) is None
        assert against_solver.breaks_any(plan) is False

    def test_the_ratio_that_95_of_100_reach(self) -> None:
        assert against_solver.slowest([float(n) for n in range(101)]) == 5.0


class TestDemo:
    def test_only_the_files_of_a_case_are_read(self) -> None:
        texts = {p.relative_to(DEMO).as_posix(): p.read_text(encoding="utf-8") for p in DEMO.rglob("*.yaml")}
        needed = demo.files_of(texts, "change-cartridges", "KW-2")
        assert {
            "library.yaml",
            "change-cartridges.yaml",
            "units/kw-2.yaml",
            "units/kw-base.yaml",
        } <= needed.keys()
        assert not {"units/kw-4.yaml", "weekly-round.yaml"} & needed.keys()

    def test_a_case_is_measured(self) -> None:
        library = open_library(DEMO)
        texts = {p.relative_to(DEMO).as_posix(): p.read_text(encoding="utf-8") for p in DEMO.rglob("*.yaml")}
        cost = demo.cost(library, texts, "weekly-round", "KW-2", 1)
        assert cost.proof > 0
        assert cost.pairs >= cost.steps

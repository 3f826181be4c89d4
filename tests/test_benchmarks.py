"""The measures of `make bench`, quick enough for every day: what they count, never how long it takes."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmarks import against_solver, audit, check, demo, manuals, scale
from benchmarks.library import library
from proctool.api import Library, open_library
from proctool.model.verdict import Verdict
from tests.solver.flat import FAMILIES

DEMO = Path(__file__).parents[1] / "procedures"


class TestAgainstTheSolver:
    @pytest.mark.parametrize("family", FAMILIES)
    def test_both_answer_alike_and_are_timed(self, family: str, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(against_solver, "CONFLICTS", 2_000)
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


class TestCheck:
    def test_the_libraries_are_clean_but_for_what_is_damaged(self) -> None:
        texts = library(20)
        assert texts == library(20) != library(20, seed=1)
        found = Library.from_texts(texts).check()
        assert {(f.procedure, f.rule.partition("/")[0]) for f in found.findings} == {("p19", "energy")}
        unsafe = {v.procedure for v in found.verdicts if v.verdict is Verdict.UNSAFE}
        assert unsafe == {"p19"} and len(found.verdicts) == 60

    def test_every_stage_is_timed_and_the_shares_make_a_whole(self) -> None:
        ratio, shares, told = check.whole(2)
        assert ratio > 1 and sum(shares.values()) == pytest.approx(1)
        assert shares.keys() == {*check.STAGES, "the rest"} and min(shares.values()) >= 0
        assert told.startswith("2 procedures, ") and " 6 cases, 6 of them safe, 0 findings;" in told

    def test_a_file_alone_is_started_like_a_person_does(self) -> None:
        assert check.one_file(1, 1) > 1


class TestAudit:
    def test_every_case_is_audited_and_all_of_it_is_timed(self) -> None:
        found = audit.cost(1)
        library = open_library(DEMO)
        assert found.cases == len(library.pairs())
        assert found.rows > found.cases
        assert found.audit > 0 and found.files > 0


class TestManuals:
    def test_a_page_is_small_and_a_sheet_is_timed(self) -> None:
        found = manuals.measured("change-cartridges", "KW-2", 1)
        assert 100_000 < found.size <= manuals.SIZE
        assert found.ratio > 0.5


class TestScale:
    def test_second_runs_look_up_what_did_not_change(self) -> None:
        nothing, one = scale.second_runs(4)
        assert 0 < nothing.value < one.value
        assert "4 procedures, 12 units" in one.what

    def test_sizes_are_run_each_in_a_process_of_its_own(self) -> None:
        slope, memory = scale.growth((1, 2))
        assert "(3, 6 cases)" in slope.what
        assert 0.01 < memory.value < 1

    @pytest.mark.parametrize(
        ("value", "least", "reached"), [(1, False, True), (3, False, False), (1, True, False)]
    )
    def test_an_aim_is_a_bound_on_one_side(self, value: float, least: bool, reached: bool) -> None:
        assert scale.Measure("x", value, 2, least=least).reached is reached

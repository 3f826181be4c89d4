"""The mutation measure, in a form quick enough for every day. `python -m benchmarks.mutation` does all."""

from collections import Counter
from itertools import pairwise
from pathlib import Path

import pytest

from benchmarks import mutation
from benchmarks.damage import KINDS, Damage, damages
from benchmarks.mutation import Explanation, Result, explanations, run
from proctool.api import Library, open_library
from proctool.model.plan import every_step
from tests.rules import example

DEMO = Path(__file__).parents[1] / "procedures"


@pytest.fixture(scope="module")
def plan():
    (case,) = Library.from_texts(example.clean()).cases()
    assert case.plan is not None
    return case.plan


def said(of, kind):
    return {str(damage).removeprefix(f"{kind} ") for damage in of if damage.kind == kind}


# ---------------------------------------------------------------------------- every single damage


def test_every_step_is_dropped_and_every_act_lost(plan):
    found = tuple(damages(plan))
    steps = every_step(plan.frame)
    assert Counter(d.step for d in found if d.kind == "drop") == Counter(step.id for step in steps)
    assert sum(d.kind == "lose-act" for d in found) == sum(len(step.acts) for step in steps)


def test_neighbours_of_a_list_are_swapped_and_unordered_once_each(plan):
    found = tuple(damages(plan))
    main = {step.id for step in plan.frame.steps}
    ids = [step.id for step in plan.frame.steps]
    wanted = {f"{later} ({earlier})" for earlier, later in pairwise(ids)}
    for kind in ("swap", "unorder"):
        assert {one for one in said(found, kind) if one.split(" (")[0] in main} == wanted


def test_the_other_gauge_and_the_other_isolator_of_the_unit(plan):
    found = tuple(damages(plan))
    zero = "make-safe/housing/verify_zero-part"
    assert {one for one in said(found, "wrong-gauge") if one.startswith(f"{zero} ")} == {
        f"{zero} (verify_zero housing: by drain)",
        f"{zero} (verify_zero housing: by tester)",
    }
    inlet = "make-safe/isolate-inlet_valve"
    assert {one for one in said(found, "wrong-isolator") if one.startswith(f"{inlet} ")} == {
        f"{inlet} (isolate inlet_valve: plug)",
        f"{inlet} (lock inlet_valve: plug)",
    }


def test_a_damage_changes_one_list_and_nothing_else(plan):
    before = Counter(step.id for step in every_step(plan.frame))
    for damage in damages(plan):
        after = Counter(step.id for step in every_step(damage.plan.frame))
        if damage.kind == "drop":
            gone = before - after
            assert damage.step in gone
            assert all(step == damage.step or step.startswith(f"{damage.step}/") for step in gone)
        else:
            assert after == before
        assert damage.plan != plan


# ---------------------------------------------------------------------------- what comes of them


def test_what_a_rule_finds_is_refused_and_what_none_finds_must_be_explained():
    library = Library.from_texts(example.clean())
    found = {str(result.damage): result for result in run(library, ())}
    assert {result.damage.kind for result in found.values()} == set(KINDS)
    for damage, rule in (
        ("drop make-safe/vent-drain", "energy/opened-charged"),
        ("drop tighten-housing", "leak/not-tightened"),
        ("swap unscrew-housing (make-safe/housing/verify_zero-part)", "energy/opened-unproven"),
        ("lose-act make-safe/isolate-inlet_valve (isolate inlet_valve)", "energy/opened-live"),
        (
            "wrong-gauge make-safe/housing/verify_zero-part (verify_zero housing: by tester)",
            "energy/opened-unproven",
        ),
        (
            "wrong-isolator make-safe/isolate-inlet_valve (lock inlet_valve: plug)",
            "energy/opened-unlocked",
        ),
    ):
        assert found[damage].outcome == "refused"
        assert rule in found[damage].rules
    silent = [result for result in found.values() if not result.rules]
    assert silent
    assert {result.outcome for result in silent} == {"missed"}


def test_no_damage_to_the_weekly_round_is_missed():
    results = tuple(run(open_library(DEMO), explanations(), procedure="weekly-round", unit="KW-4T"))
    assert len(results) > 40
    assert [str(result.damage) for result in results if result.outcome == "missed"] == []
    assert {result.outcome for result in results} >= {"refused", "harmless", "beyond"}


def test_a_library_that_is_not_clean_tells_nothing():
    files = example.clean()
    files["make-safe.yaml"] = files["make-safe.yaml"].replace("  - vent: drain\n", "")
    with pytest.raises(ValueError, match="example on EX-1 is not clean"):
        next(run(Library.from_texts(files), ()))


# ---------------------------------------------------------------------------- the list


@pytest.mark.parametrize("entry", explanations(), ids=lambda entry: entry.why[:40])
def test_each_entry_of_the_list_gives_a_reason_and_says_of_what(entry):
    assert entry.outcome in {"harmless", "beyond"}
    assert entry.why.endswith(".") and len(entry.why.split()) > 5
    assert set(entry.kinds) <= set(KINDS) and entry.damages and entry.cases
    assert "*" not in entry.damages


def entry(**said):
    return Explanation(
        **{"outcome": "harmless", "why": "", "damages": (), "cases": ("*",), "kinds": (), **said}
    )


def test_an_entry_fits_by_kind_step_and_case(plan):
    damage = Damage("swap", "b", "a", plan)
    fits = entry(kinds=("swap",), damages=("b (*)",), cases=("p/KW-*",))
    assert fits.fits("p/KW-2", damage)
    assert not fits.fits("q/KW-2", damage)
    assert not fits.fits("p/KW-2", Damage("unorder", "b", "a", plan))
    assert not fits.fits("p/KW-2", Damage("swap", "b", "", plan))


def test_the_tables_add_up(plan):
    damage = Damage("drop", "a", "", plan)
    results = [
        Result("p/u", damage, "refused", ("energy/opened-live", "leak/unchecked")),
        Result("p/u", damage, "refused", ("energy/opened-live",)),
        Result("p/u", damage, "missed", ()),
    ]
    assert "| drop | 2 | 0 | 0 | 0 | 1 | 3 |\n" in mutation.table(results)
    assert mutation.table(results).endswith("| all | 2 | 0 | 0 | 0 | 1 | 3 |\n")
    assert mutation.by_rule(results).endswith("| energy/opened-live | 2 | 0 |\n| leak/unchecked | 1 | 0 |\n")


def test_the_command_says_what_is_missed_by_its_exit_code(capsys):
    assert mutation.main(["--procedure", "weekly-round", "--unit", "KW-2"]) == 0
    out = capsys.readouterr().out
    assert "Missed: 0\n" in out
    assert "| all | " in out

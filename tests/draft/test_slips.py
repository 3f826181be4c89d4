"""Slips on the example library, worked out by hand, and slips as changed frames, held against all orders."""

from dataclasses import replace
from pathlib import Path

import pytest

from proctool.api import RULES, Library, open_library
from proctool.draft.slips.changes import early, skipped, twice
from proctool.draft.slips.countersign import countersigned
from proctool.draft.slips.runs import real_runs
from proctool.draft.slips.slips import slips, slips_at
from proctool.model.slips import Outcome, SlipKind
from proctool.prove import replay
from tests.rules import example as small

NEVER = frozenset(rule.id for rule in RULES.values() if rule.never)
DEMO = Path(__file__).parents[2] / "procedures"
ZERO = "make-safe/housing/verify_zero-part"


def case(example=None):
    (found,) = Library.from_texts(small.on_page(example) if example else small.clean()).cases(
        procedure="example"
    )
    assert found.proven, found.findings
    return found


def demo(procedure, unit):
    (found,) = open_library(DEMO).cases(procedure=procedure, unit=unit)
    assert found.plan is not None and found.proven
    return found


def told(every):
    """By step, kind and the step it is done before: outcome, rule and part, the step that catches it."""
    return {
        (of.step, slip.kind.value, slip.before): (
            slip.outcome.value,
            f"{slip.rule} {slip.part}" if slip.rule else None,
            slip.caught_by.step if slip.caught_by else None,
        )
        for of in every
        for slip in of.slips
    }


def at(found, step):
    """What comes of the slips at one step."""
    place = [other.id for other in found.plan.frame.steps].index(step)
    return slips_at(found.plan, place, found.proof, NEVER, budget=200_000)


def skip_of(found, step):
    """What comes of skipping one step."""
    return told([at(found, step)])[step, "skipped", None]


@pytest.fixture(scope="module")
def every():
    found = case()
    return tuple(slips(found.plan, found.proof, NEVER, budget=200_000))


@pytest.fixture(scope="module")
def example(every):
    return told(every)


# ---------------------------------------------------------------------------- worked out by hand

SKIPPED = {
    # The gauge at the housing shows what the main still feeds, or what nothing has let out.
    "make-safe/isolate-inlet_valve": ("caught", "energy/opened-live housing", ZERO),
    "make-safe/vent-drain": ("caught", "energy/opened-charged housing", ZERO),
    # No check asks about the pump before water runs over it; wetting it is no rule that takes no deviation.
    "make-safe/isolate-plug": ("breaks", "energy/wet-near-live pump", None),
    ZERO: ("breaks", "energy/opened-unproven housing", None),
    # The valve is opened on a housing that still stands open.
    "screw-housing": ("critical", "energy/energised-open housing", None),
    "tighten-housing": ("breaks", "leak/not-tightened housing", None),
    # A leak check while the drain runs shows nothing at the housing: it is not counted as catching.
    "restore/purge/housing/shut-drain": ("breaks", "leak/checked-dry housing", None),
    "make-safe/tell": ("harmless", None, None),
    "restore/tell": ("harmless", None, None),
    # The drain is shut once more after the housing is bled.
    "restore/shut-drain": ("harmless", None, None),
}


@pytest.mark.parametrize("step", SKIPPED)
def test_a_skipped_step(example, step):
    assert example[step, "skipped", None] == SKIPPED[step]


EARLY = {
    ("unscrew-housing", "make-safe/isolate-inlet_valve"): ("critical", "energy/opened-live housing", None),
    ("unscrew-housing", "make-safe/vent-drain"): ("critical", "energy/opened-charged housing", None),
    ("unscrew-housing", ZERO): ("breaks", "energy/opened-unproven housing", None),
    # Read before the water is let out, the gauge shows it: the check fails, and nobody goes on.
    (ZERO, "make-safe/vent-drain"): ("caught", "energy/opened-unproven housing", ZERO),
    ("restore/throttle-inlet_valve", "take"): ("critical", "energy/energised-open housing", None),
    ("restore/unlock-inlet_valve", "take"): ("breaks", "energy/unlocked-early inlet_valve", None),
    ("restore/tell", "make-safe/tell"): ("harmless", None, None),
}


@pytest.mark.parametrize(("step", "before"), EARLY)
def test_a_step_done_too_early(example, step, before):
    assert example[step, "early", before] == EARLY[step, before]


def test_every_step_is_skipped_done_early_at_each_place_and_done_twice(example):
    ids = [step.id for step in case().plan.frame.steps]
    wanted = {(step, kind, None) for step in ids for kind in ("skipped", "twice")}
    wanted |= {(step, "early", before) for i, step in enumerate(ids) for before in ids[:i]}
    assert set(example) == wanted


def test_nothing_in_the_example_hurts_when_done_twice(example):
    assert {answer for (_, kind, _), answer in example.items() if kind == "twice"} == {
        ("harmless", None, None)
    }


def test_critical_steps_are_those_with_a_critical_slip(example, every):
    critical = {of.step for of in every if of.critical}
    assert critical == {step for (step, _, _), (outcome, *_) in example.items() if outcome == "critical"}
    assert critical == {
        "unscrew-housing",
        "screw-housing",
        "restore/throttle-inlet_valve",
        "restore/restore-inlet_valve",
    }


# ---------------------------------------------------------------------------- what catches

OPENS = "  - do: Unscrew the <housing> with the <wrench>.\n    open: housing\n"


def with_procedure(old, new):
    files = small.clean()
    assert files["procedure.yaml"].count(old) == 1
    files["procedure.yaml"] = files["procedure.yaml"].replace(old, new)
    (found,) = Library.from_texts(files).cases()
    assert found.proven, found.findings
    return found


def test_a_need_that_does_not_hold_catches():
    found = with_procedure(OPENS, OPENS + "    needs: {inlet_valve: closed}\n")
    answers = told([at(found, "unscrew-housing")])
    too_early = answers["unscrew-housing", "early", "make-safe/isolate-inlet_valve"]
    assert too_early == ("caught", "energy/opened-live housing", "unscrew-housing")
    # The need says nothing about what is still shut in.
    assert answers["unscrew-housing", "early", "make-safe/vent-drain"][0] == "critical"


def test_a_reading_that_may_miss_it_does_not_catch():
    """A check valve may stick shut while zero is read, and pass again when the housing stands open."""
    path = "[supply, stop, inlet_valve, pump, housing, tap]"
    found = case(f"unit: {{parts: {{stop: {{role: check_valve}}}}, lines: {{main: {{path: {path}}}}}}}")
    answer = skip_of(found, "make-safe/isolate-inlet_valve")
    assert answer == ("critical", "energy/opened-live housing", None)


def test_a_reading_that_sees_only_one_room_does_not_catch():
    """What is shut in before a blocked screen may come through it later, whatever was read behind it."""
    found = demo("change-cartridges", "KW-2")
    unseen = skip_of(found, "make-safe/strainer_drain/vent-way_out")
    assert unseen == ("critical", "energy/opened-charged first_insert", None)
    seen = skip_of(found, "make-safe/first_button/vent-way_out")
    assert seen == ("caught", "energy/opened-charged first", "make-safe/first/verify_zero-part")


def test_a_check_that_shows_it_and_goes_on_all_the_same_does_not_catch():
    files = small.clean()
    stop = "        otherwise: {end_here: Leave the locks on and call for help.}\n"
    assert files["make-safe.yaml"].count(stop) == 1
    files["make-safe.yaml"] = files["make-safe.yaml"].replace(stop, "        otherwise: {continue: true}\n")
    (found,) = Library.from_texts(files).cases()
    assert found.proof is not None
    broken = {(b.rule, b.part) for b in found.proof.breaches}
    assert broken == {("energy/opened-unproven", "housing")}  # a failed check proves nothing
    assert skip_of(found, "make-safe/isolate-inlet_valve")[0] == "critical"


def test_what_cannot_be_followed_to_its_end_counts_as_critical():
    found = case()
    cut_short = tuple(slips(found.plan, found.proof, NEVER, budget=3))
    outcomes = {slip.outcome for of in cut_short for slip in of.slips}
    assert Outcome.UNKNOWN in outcomes
    assert Outcome.HARMLESS not in outcomes and Outcome.CAUGHT not in outcomes
    assert all(of.critical for of in cut_short)


def test_a_trace_is_a_run_of_the_changed_plan_that_breaks_the_rule(every):
    plan = case().plan
    place = {step.id: i for i, step in enumerate(plan.frame.steps)}
    tried = 0
    for of in every:
        for slip in of.slips:
            if slip.rule is None or slip.kind is SlipKind.TWICE:
                continue
            i = place[of.step]
            skip = slip.before is None
            frame = skipped(plan.frame, i) if skip else early(plan.frame, i, place[slip.before])
            went = replay(replace(plan, frame=frame), slip.trace)
            reports = {(report.rule, report.part) for _, report in went.reports}
            assert (slip.rule, slip.part) in reports, (of.step, slip)
            tried += 1
    assert tried > 50


def test_the_walk_of_what_can_really_happen_agrees_with_what_one_trace_settles(every):
    """Most slips are settled by one trace of the proof; here each is walked whole instead."""
    plan = case().plan
    place = {step.id: i for i, step in enumerate(plan.frame.steps)}
    for of in every:
        for slip in of.slips:
            i = place[of.step]
            if slip.kind is SlipKind.TWICE:
                frame = twice(plan.frame, i)
            else:
                early_at = place.get(slip.before or "")
                frame = skipped(plan.frame, i) if early_at is None else early(plan.frame, i, early_at)
            runs = real_runs(replace(plan, frame=frame), known=frozenset(), budget=200_000)
            assert runs.explored
            if any(rule in NEVER for rule, _, _ in runs.breaches):
                outcome = "critical"
            elif runs.breaches:
                outcome = "breaks"
            else:
                outcome = "caught" if runs.catches else "harmless"
            assert slip.outcome == outcome, (of.step, slip)


@pytest.mark.parametrize(
    ("procedure", "unit", "outcome"),
    [
        # Water from the main runs out of the open strainer drain, and the check there sees it.
        ("clean-inlet-strainer", "KW-4", "caught"),
        # The strainer's screen may be blocked: the gauges behind it show nothing for certain.
        ("change-cartridges", "KW-4", "critical"),
        # A check valve stands before the valve of each feed.
        ("clean-inlet-strainer", "KW-6", "critical"),
    ],
)
def test_an_inlet_left_on(procedure, unit, outcome):
    found = demo(procedure, unit)
    assert skip_of(found, "make-safe/inlet_valve/isolate-device")[0] == outcome


# ---------------------------------------------------------------------------- the second signature


def test_a_critical_step_is_marked_and_signed_for():
    plan = case().plan
    marked = countersigned(plan, {"unscrew-housing"})
    changed = [new for old, new in zip(plan.frame.steps, marked.frame.steps, strict=True) if old != new]
    assert [step.id for step in changed] == ["unscrew-housing"]
    assert changed[0].hold == "a second person"
    assert changed[0].notes[-1].startswith("Critical step: ")


def test_who_signs_already_goes_on_signing():
    found = with_procedure(OPENS, OPENS + "    hold: the shift lead\n")
    marked = countersigned(found.plan, {"unscrew-housing"})
    assert next(s.hold for s in marked.frame.steps if s.id == "unscrew-housing") == "the shift lead"

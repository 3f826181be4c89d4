"""Comparisons on generated plans and on pairs worked out by hand."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from proctool.draft.compare.aspects import GUARDING
from proctool.draft.compare.compare import compare
from proctool.draft.compare.pairing import couples, pairs, translated
from proctool.draft.compare.weigh import weigh
from proctool.draft.slips.changes import skipped
from proctool.model.comparison import Broken, Difference, Pair, Safety, Side
from proctool.model.plan import every_step
from proctool.model.verdict import Judgement, Verdict
from proctool.prove import prove
from tests.prove.free_plans import free_plan

SEEDS = st.integers(0, 10_000)


def side(plan):
    proof = prove(plan)
    verdict = Verdict.UNSAFE if proof.breaches else Verdict.SAFE
    judgement = Judgement(plan.procedure, plan.unit.id, verdict, proof.orders, proof.states)
    broken = tuple(Broken(b.rule, b.step, b.part, "", proof=True) for b in proof.breaches)
    return Side("it", judgement, plan, proof, broken)


@given(SEEDS)
@settings(max_examples=25, deadline=None)
def test_a_plan_is_the_same_as_itself(seed):
    one = side(free_plan(seed))
    found = compare(one, one)
    assert (found.safety, found.reasons) == (Safety.SAME, ())
    assert all(p.was == p.now and not p.differences and not p.moved for p in found.pairs)


@given(SEEDS, st.data())
@settings(max_examples=25, deadline=None)
def test_a_step_left_out_is_the_one_that_is_gone(seed, data):
    plan = free_plan(seed)
    place = data.draw(st.integers(0, len(plan.frame.steps) - 1))
    without = replace(plan, frame=skipped(plan.frame, place))
    old, new = side(plan), side(without)
    found = compare(old, new)
    steps = every_step(plan.frame)
    gone = {step.id for step in steps} - {step.id for step in every_step(without.frame)}
    assert {steps[p.was].id for p in found.pairs if p.now is None and p.was is not None} == gone
    assert not any(p.was is None or p.moved for p in found.pairs)
    # What the proof finds on one side alone, worked out without the comparison.
    had, has = ({(b.rule, b.step, b.part) for b in s.broken} for s in (old, new))
    assert {(b.rule, b.step, b.part) for b in found.broken} == has - had
    assert {(b.rule, b.step, b.part) for b in found.mended} == had - has
    worst = {
        (step, key, was, now)
        for step in old.proof.worst.keys() & new.proof.worst.keys()
        for key, was in old.proof.worst[step].items()
        if (now := new.proof.worst[step].get(key, was)) is not was
    }
    told = {
        (step, (part, s.energy), s.was, s.now)
        for s in found.stretches
        for part in s.parts
        for step in s.steps
    }
    assert told == worst


@given(SEEDS)
@settings(max_examples=25, deadline=None)
def test_the_two_ways_round_agree(seed):
    one, other = side(free_plan(seed)), side(free_plan(seed + 1))
    there, back = compare(one, other), compare(other, one)
    assert (there.broken, there.mended) == (back.mended, back.broken)
    assert {(p.was, p.now) for p in there.pairs} == {(p.now, p.was) for p in back.pairs}
    assert sum(p.moved for p in there.pairs) == sum(p.moved for p in back.pairs)


@given(st.permutations(range(7)), st.integers(0, 3))
def test_moved_are_the_fewest(order, gone):
    """Against trying every set of steps that stay, on all of which both sides agree."""
    coupled = [(i, j) for j, i in enumerate(order) if i >= gone]
    rows = pairs(7, 7, coupled)
    assert sorted(r.now for r in rows if r.now is not None) == list(range(7))
    assert sorted(r.was for r in rows if r.was is not None) == list(range(7))
    kept = [i for i in order if i >= gone]
    rising = max(
        (
            len(chosen)
            for mask in range(1 << len(kept))
            if (chosen := [v for n, v in enumerate(kept) if mask >> n & 1]) == sorted(chosen)
        ),
        default=0,
    )
    assert sum(r.moved for r in rows) == len(kept) - rising


def test_ids_are_translated_piece_by_piece():
    same = {"first": "pre_filter", "inlet": "v1"}
    assert translated("make-safe/inlet/isolate-device", same) == "make-safe/v1/isolate-device"
    assert translated("open-up/unscrew-first", same) == "open-up/unscrew-pre_filter"
    assert translated("first-aid/firstly", same) == "first-aid/firstly"


def test_nothing_is_coupled_by_chance():
    plan = free_plan(3)
    (step, *_) = plan.frame.steps
    twin = [replace(step, id="a"), replace(step, id="b")]
    assert couples([replace(step, id="c")], twin, {}) == ()
    assert couples([replace(step, id="c")], twin[:1], {}) == ((0, 0),)


def weighed(*differences):
    plan = free_plan(3)
    one = side(plan)
    found = replace(compare(one, one), pairs=(Pair(0, 0, tuple(Difference(*d) for d in differences)),))
    return weigh(found)[0]


def test_between_two_readings_the_stricter_one():
    assert weighed(("lasts", "2 min", "1 min")) is Safety.WORSE
    assert weighed(("lasts", "2 min", "120 s")) is Safety.DIFFERENT
    assert weighed(("lasts", "2 min", "3 min")) is Safety.DIFFERENT
    assert weighed(("lasts", "2 min", "until it stops")) is Safety.WORSE
    assert weighed(("lasts", "2 min", "")) is Safety.WORSE
    assert weighed(("lasts", "", "2 min")) is Safety.DIFFERENT
    assert weighed(("limits", "0 bar", "1 bar or less")) is Safety.DIFFERENT
    assert weighed(("warnings", "danger: x", "")) is Safety.WORSE
    assert weighed(("signature", "a second person", "")) is Safety.WORSE
    assert weighed(("text", "a", "b")) is Safety.SAME
    assert all(weighed((name, "a", "b")) is not Safety.SAME for name in GUARDING)

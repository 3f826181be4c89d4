"""A list of steps with one skipped, done early or done twice, held against all orders of small lists."""

from itertools import permutations
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from proctool.api import open_library
from proctool.draft.slips.changes import early, original, skipped, twice
from proctool.model.plan import BackTo, Frame, Step, StepKind, every_step
from proctool.model.span import Span

DEMO = Path(__file__).parents[2] / "procedures"

HERE = Span("p.yaml", 1, 1, 1, 2)


def frame_of(before):
    steps = tuple(Step(str(i), StepKind.DO, str(i), HERE) for i in range(len(before)))
    return Frame(steps, tuple(before))


@st.composite
def orders(draw):
    """The order among five steps, closed: what comes before a step comes before all that follows it."""
    before: list[int] = []
    for i in range(5):
        mask = draw(st.integers(0, (1 << i) - 1))
        for j in range(i):
            mask |= before[j] if mask >> j & 1 else 0
        before.append(mask)
    return before


def extensions(frame):
    """All orders that a frame allows, by ids."""
    ids = [step.id for step in frame.steps]
    found = set()
    for order in permutations(range(len(ids))):
        rank = {step: at for at, step in enumerate(order)}
        if all(rank[j] < rank[i] for i, b in enumerate(frame.before) for j in range(len(ids)) if b >> j & 1):
            found.add(tuple(ids[i] for i in order))
    return found


@given(orders(), st.integers(0, 4))
def test_skipped_keeps_every_order_of_the_others(before, place):
    left = skipped(frame_of(before), place)
    assert extensions(left) == {
        tuple(step for step in order if step != str(place)) for order in extensions(frame_of(before))
    }


@given(orders(), st.data())
def test_early_is_before_the_step_and_after_all_that_step_waits_for(before, data):
    place = data.draw(st.integers(0, 4))
    earlier = [j for j in range(5) if before[place] >> j & 1]
    if not earlier:
        return
    other = data.draw(st.sampled_from(earlier))
    others = extensions(skipped(frame_of(before), place))
    waits = [str(j) for j in range(5) if before[other] >> j & 1]
    wanted = set()
    for order in permutations(str(i) for i in range(5)):
        at = order.index(str(place))
        fits = at < order.index(str(other)) and all(order.index(step) < at for step in waits)
        if fits and tuple(step for step in order if step != str(place)) in others:
            wanted.add(order)
    assert extensions(early(frame_of(before), place, other)) == wanted


@given(orders(), st.integers(0, 4))
def test_twice_is_once_more_before_anything_that_follows(before, place):
    frame = twice(frame_of(before), place)
    copy = frame.steps[-1].id
    assert original(copy, str(place)) == str(place) and copy != str(place)
    once = extensions(frame_of(before))
    found = extensions(frame)
    assert {tuple(step for step in order if step != copy) for order in found} == once
    for order in found:
        at = order.index(copy)
        assert order.index(str(place)) < at
        follows = [str(i) for i, mask in enumerate(before) if mask >> place & 1]
        assert all(order.index(step) > at for step in follows)


def plan():
    (found,) = open_library(DEMO).cases(procedure="change-cartridges", unit="KW-2")
    assert found.plan is not None
    return found.plan


def test_going_back_still_undoes_the_same_steps():
    main = plan().frame

    def undone(frame):
        """By check: the main steps that its way back undoes."""
        answers = {}
        for step in every_step(frame):
            ending = step.otherwise.ending if step.otherwise else None
            if isinstance(ending, BackTo):
                answers[step.id] = {s.id for i, s in enumerate(frame.steps) if ending.undone >> i & 1}
        return answers

    whole = undone(main)
    assert whole
    for place, step in enumerate(main.steps):
        gone = {check: steps - {step.id} for check, steps in whole.items() if check != step.id}
        assert undone(skipped(main, place)) == gone
        doubled = undone(twice(main, place))
        for check, steps in whole.items():
            copy = {f"{step.id} again"} if step.id in steps else set()
            assert doubled[check] == steps | copy


def test_every_step_of_a_plan_with_a_copy_has_an_id_of_its_own():
    main = plan().frame
    steps = main.steps
    place = next(i for i, step in enumerate(steps) if step.may_fail and step.otherwise.frame.steps)
    ids = [step.id for step in every_step(twice(main, place))]
    assert len(ids) == len(set(ids))
    back = {original(step, steps[place].id) for step in ids}
    assert back == {step.id for step in every_step(main)}

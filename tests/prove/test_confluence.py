"""Whether orders that are left free end alike, and the two that are shown if not."""

import json
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proctool.api import Library
from proctool.prove.confluence import _swaps
from proctool.prove.replay import replay
from tests.oracle.cases import case
from tests.oracle.text import files
from tests.rules import example


def proven(*steps, **more):
    """Plan and proof of some steps on the example unit."""
    library = Library.from_texts(example.on_page(json.dumps({"steps": list(steps)})))
    (found,) = library.cases(**more)
    assert found.plan is not None and found.proof is not None
    return found.plan, found.proof


def ends(plan, moves):
    """Charges and words in the end of a run; the run must be one that the plan allows, to its end."""
    run = replay(plan, moves)
    assert run.complete
    return run.snapshots[-1].charges, run.snapshots[-1].words


THROTTLE, RESTORE = {"throttle": "inlet_valve"}, {"restore": "inlet_valve"}


class TestFork:
    def test_one_order_has_none(self):
        assert proven(THROTTLE, RESTORE)[1].fork is None

    def test_two_steps_that_hang_on_each_other(self):
        plan, proof = proven({"any_order": [THROTTLE, RESTORE]})
        assert proof.fork is not None
        assert set(proof.fork.swapped) == {"throttle-inlet_valve", "restore-inlet_valve"}
        assert proof.fork.differ == ("inlet_valve",)
        assert ends(plan, proof.fork.one) != ends(plan, proof.fork.other)

    def test_steps_that_do_not(self):
        assert proven({"any_order": [{"isolate": "inlet_valve"}, {"stop": "pump"}]})[1].fork is None

    def test_what_is_put_right_later_does_not_count(self):
        assert proven({"any_order": [THROTTLE, RESTORE]}, {**RESTORE, "id": "last"})[1].fork is None

    def test_conditions_count(self):
        told = {"any_order": [
            {"do": "Tell one.", "id": "one", "makes": {"crew": "told"}},
            {"do": "Tell two.", "id": "two", "makes": {"crew": "running"}},
        ]}  # fmt: skip
        assert proven(told)[1].fork.differ == ("crew",)

    def test_checks_pass(self):
        """The free steps end alike unless the check fails, which is not compared."""
        check = {"check": "It is dry.", "otherwise": {"steps": [RESTORE], "continue": "true"}}
        assert proven({"any_order": [THROTTLE, check]})[1].fork is None

    def test_among_many_steps_the_two_are_named(self):
        wipes = [{"do": "Wipe it.", "id": f"wipe-{name}"} for name in "abcd"]
        _, proof = proven({"any_order": [*wipes, THROTTLE, RESTORE]})
        one, other = ([move.step for move in order] for order in (proof.fork.one, proof.fork.other))
        place = next(i for i, (a, b) in enumerate(zip(one, other, strict=True)) if a != b)
        assert one[place : place + 2] == other[place : place + 2][::-1] == list(proof.fork.swapped)
        assert one[:place] + one[place + 2 :] == other[:place] + other[place + 2 :]

    def test_nothing_is_said_where_not_all_was_looked_at(self):
        _, proof = proven({"any_order": [THROTTLE, RESTORE]}, budget=1)
        assert not proof.explored
        assert proof.fork is None


@pytest.mark.parametrize("seed", range(60))
def test_on_seeded_cases_the_two_orders_can_be_walked_and_end_differently(seed):
    for found in Library.from_texts(files(*case(seed))).cases():
        assert found.plan is not None and found.proof is not None
        fork = found.proof.fork
        if fork is not None:
            assert replay(found.plan, fork.one).complete
            assert replay(found.plan, fork.other).complete
            assert fork.differ


@settings(max_examples=100)
@given(st.permutations(range(7)))
def test_orders_are_joined_by_swaps_of_neighbours(other):
    one = tuple(range(7))
    orders = _swaps(one, tuple(other))
    assert (orders[0], orders[-1]) == (one, tuple(other))
    for left, right in pairwise(orders):
        differ = [i for i in range(7) if left[i] != right[i]]
        assert len(differ) == 2
        assert differ[1] == differ[0] + 1

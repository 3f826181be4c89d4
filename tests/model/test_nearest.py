"""The nearest right name."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proctool.model.nearest import did_you_mean, distance, nearest

ACTS = [
    "isolate",
    "lock",
    "unlock",
    "vent",
    "verify_zero",
    "tighten",
    "inspect_seal",
    "inlet_valve",
    "energies",
]


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("isolat", "isolate"),
        ("tighetn", "tighten"),
        ("Inspect-Seal", "inspect_seal"),
        ("verify zero", "verify_zero"),
        ("LOCK", "lock"),
        ("valve", "inlet_valve"),
        ("energy", "energies"),
        ("xyz", None),
        ("", None),
        ("a" * 1000, None),
    ],
)
def test_the_nearest_name(word, meant):
    assert nearest(word, ACTS) == meant


def test_the_order_of_candidates_does_not_count():
    assert {nearest("vant", order) for order in itertools.permutations(["vent", "want", "valve"])} == {"vent"}


def test_a_word_of_two_names_is_near_to_none():
    assert nearest("drain", ["first_drain_valve", "second_drain_valve"]) is None


def test_the_sentence_is_empty_where_nothing_is_near():
    assert did_you_mean("isolat", ACTS) == " Did you mean `isolate`?"
    assert did_you_mean("xyz", ACTS) == ""


def slow(a, b):
    """The recurrence of the distance, as it is defined."""
    if not a or not b:
        return len(a) + len(b)
    costs = [slow(a[:-1], b) + 1, slow(a, b[:-1]) + 1, slow(a[:-1], b[:-1]) + (a[-1] != b[-1])]
    if len(a) > 1 and len(b) > 1 and a[-1] == b[-2] and a[-2] == b[-1]:
        costs.append(slow(a[:-2], b[:-2]) + 1)
    return min(costs)


@given(st.text("abc", max_size=5), st.text("abc", max_size=5))
def test_distance_is_what_its_definition_says(a, b):
    assert distance(a, b) == slow(a, b) == distance(b, a)


@given(st.text(max_size=12), st.lists(st.text(max_size=12), max_size=6))
def test_what_is_found_is_one_of_the_candidates(word, candidates):
    assert nearest(word, candidates) in {None, *candidates}

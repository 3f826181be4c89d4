"""The proof against the plain walker of tests/oracle, which shares no code with it: the same findings.

A small, quick part of that comparison; `python -m tests.oracle --cases N` runs as much of it as one likes.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.oracle.__main__ import compare

SEEDS, CHUNK = 150, 10


@pytest.fixture(scope="module", autouse=True)
def room_for_the_walker() -> None:
    """The walker raises the recursion limit on its first walk, which hypothesis must not see happen."""
    compare(0)


@pytest.mark.parametrize("first", range(0, SEEDS, CHUNK))
def test_the_findings_are_those_of_walking_every_order(first: int) -> None:
    differ = {seed: said for seed in range(first, first + CHUNK) if (said := compare(seed)[1])}
    assert differ == {}


@settings(max_examples=200, deadline=None)
@given(st.integers(min_value=SEEDS, max_value=10_000_000))
def test_the_findings_are_those_of_walking_every_order_for_any_seed(seed: int) -> None:
    assert compare(seed)[1] == ""


def test_the_seeds_hold_safe_and_unsafe_cases() -> None:
    """Else agreement would say little."""
    safe = sum(compare(seed)[0] for seed in range(30))
    assert 5 <= safe <= 25

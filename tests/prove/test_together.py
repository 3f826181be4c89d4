"""Monitors walked together against each walked alone: the same ones find something, and the same."""

from __future__ import annotations

import pytest

from proctool.network.reach import Network
from proctool.prove import watch, watch_each
from proctool.prove.watch import lapsing
from proctool.rules import air, closed, fitted, locks, stores, tight
from tests.rules import test_monitors_by_hand as by_hand
from tests.rules.house.test_oracle import library

ENOUGH = 100_000


def house_rules(seed):
    """A plan with conditions, checks that fail and lead back, and its monitors."""
    lib, _ = library(seed)
    plan = next(iter(lib.cases())).plan
    assert plan is not None
    return plan, tuple(lib.watchlist.monitors(plan, Network(plan.unit)))


def of_parts(seed):
    """A plan of free steps on a unit with a tank, and the monitors of its parts."""
    plan, net = by_hand.plan(seed), Network(by_hand.UNIT)
    located = [m for pack in (air, stores, tight) for m in pack.monitors(plan, net)]
    named = [m for pack in (closed, fitted, locks) for m in pack.monitors(plan)]
    return plan, (*located, *named)


@pytest.mark.parametrize("made", [house_rules, of_parts])
def test_the_same_find_something_together_and_alone(made):
    met = set()
    for seed in range(120):
        plan, monitors = made(seed)
        alone = [watch(plan, monitor, shortcuts=False) for monitor in monitors]
        finding = {place for place, seen in enumerate(alone) if seen.caught}
        assert lapsing(plan, monitors, budget=ENOUGH) == finding, f"seed {seed}"
        met |= {bool(seen.caught) for seen in alone}
    assert met == {True, False}


@pytest.mark.parametrize("made", [house_rules, of_parts])
def test_what_they_find_is_what_each_finds_alone(made):
    caught = 0
    for seed in range(120, 200):
        plan, monitors = made(seed)
        for monitor, seen in watch_each(plan, monitors):
            assert seen.explored
            assert seen.caught == watch(plan, monitor).caught, f"seed {seed}"
            caught += len(seen.caught)
    assert caught


def test_a_walk_cut_short_clears_nobody():
    plan, monitors = house_rules(0)
    assert lapsing(plan, monitors, budget=0) == set(range(len(monitors)))


def test_no_monitors_find_nothing():
    plan, _ = house_rules(0)
    assert list(watch_each(plan, ())) == []

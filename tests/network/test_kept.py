"""What is kept for a unit is worked out once, and never given to another unit."""

from __future__ import annotations

import gc

from proctool.model.unit import Unit
from proctool.network.kept import network_of, per_unit
from tests.network.build import unit


def made():
    return unit({"water": "liquid_pressure"}, {"supply": "source", "tap": "vent"}, ["water: supply tap"])


def test_worked_out_once_for_a_unit():
    one = made()
    assert network_of(one) is network_of(one)
    assert network_of(one).unit is one


def test_equal_units_are_not_taken_for_each_other():
    one, other = made(), made()
    assert one == other
    assert network_of(one) is not network_of(other)


def test_no_new_unit_gets_what_was_kept_for_one_that_is_gone():
    asked = per_unit(lambda unit: unit)
    for _ in range(600):
        one = made()
        assert asked(one) is one
        del one
        gc.collect(0)


def test_the_unit_not_asked_for_longest_goes_first():
    calls: list[Unit] = []
    asked = per_unit(calls.append)
    units = [made() for _ in range(257)]
    for one in units[:256]:
        asked(one)
    asked(units[0])
    asked(units[256])
    asked(units[0])
    assert len(calls) == 257
    asked(units[1])
    assert len(calls) == 258

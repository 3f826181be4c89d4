"""Cases worked out by hand on units of the usual shapes."""

from __future__ import annotations

import pytest

from proctool.model.words import Depth
from proctool.network.cuts import Uncut, gauges_of, isolators_of, keeps_of, runners_of, sees, vents_of
from tests.network.build import Fields, network, water

ENERGIES: Fields = {"water": "liquid_pressure", "mains": "electricity"}
SKID: Fields = {
    "supply": "source",
    "inlet_valve": "isolator",
    "first": {"role": "component", "near": ["motor"]},
    "first_insert": "restriction",
    "first_button": "vent",
    "second": {"role": "component", "near": ["motor"]},
    "second_insert": "restriction",
    "second_button": "vent",
    "tap_line": {"role": "outlet", "feeds_back": False},
    "socket": "source",
    "pump_plug": {"role": "isolator", "device": "plug", "lock": "cover"},
    "motor": {"role": "component", "runs": "mains"},
    "inlet_gauge": {"role": "gauge", "at": "first", "energy": "water"},
    "outlet_gauge": {"role": "gauge", "at": "second", "energy": "water"},
    "tester": {"role": "gauge", "at": "any", "energy": "mains"},
}
SKID_LINES = [
    "water: supply inlet_valve motor first first_insert second second_insert tap_line",
    "water: first first_button",
    "water: second second_button",
    "mains: socket pump_plug motor",
]
HOUSINGS = ["first", "second"]


def skid(parts=None, lines=(), energies=None):
    return network(ENERGIES | (energies or {}), SKID | (parts or {}), [*SKID_LINES, *lines])


class TestSkidWithPump:
    def test_water_and_the_power_nearby_are_cut(self):
        cut = isolators_of(skid(), HOUSINGS)
        assert cut.isolators == ("inlet_valve", "pump_plug")
        assert (cut.stay_off, cut.bleeds, cut.uncut, cut.least) == ((), (), (), True)

    def test_each_housing_has_its_own_button_since_a_cartridge_may_block(self):
        relief = vents_of(skid(), HOUSINGS)
        assert (relief.vents, relief.unrelieved) == (("first_button", "second_button"), ())

    def test_an_insert_is_relieved_when_the_housings_around_it_are(self):
        # The motor stands in its reach too, and is relieved by the first button.
        assert vents_of(skid(), ["first_insert"]).vents == ("first_button", "second_button")

    def test_gauges_do_not_look_through_a_cartridge(self):
        assert gauges_of(skid(), "first", HOUSINGS) == ("inlet_gauge",)
        assert gauges_of(skid(), "motor", HOUSINGS) == ("inlet_gauge", "tester")
        assert sees(skid(), "motor", "mains", HOUSINGS) == "tester"

    def test_without_a_gauge_the_open_vent_shows_it(self):
        blind = skid({"outlet_gauge": {"role": "gauge", "at": "first", "energy": "water"}})
        assert gauges_of(blind, "second") == ()
        assert sees(blind, "second", "water", HOUSINGS) == "second_button"

    def test_the_pump_is_a_runner_and_nothing_keeps(self):
        assert runners_of(skid(), HOUSINGS) == ("motor",)
        assert keeps_of(skid(), HOUSINGS) == ()

    def test_an_outlet_that_may_feed_back_is_a_source(self):
        fed = skid({"tap_line": "outlet"})
        assert isolators_of(fed, HOUSINGS).uncut == (
            Uncut("first", "water", ("tap_line",), None),
            Uncut("second", "water", ("tap_line",), None),
        )
        valved = skid(
            {"tap_line": "outlet", "tap_valve": "isolator"}, ["water: second_insert tap_valve tap_line"]
        )
        assert isolators_of(valved, ["first"]).uncut == (Uncut("first", "water", ("tap_line",), None),)


TANK: Fields = {"tank_valve": "isolator", "tank": "store", "tank_drain": "vent"}


class TestSkidWithTank:
    def test_a_tank_that_no_vent_relieves_is_cut_off(self):
        unit = skid(TANK, ["water: second_insert tank_valve tank"])
        assert isolators_of(unit, HOUSINGS).isolators == ("inlet_valve", "pump_plug", "tank_valve")

    def test_a_tank_with_a_drain_of_its_own_need_not_be(self):
        unit = skid(TANK, ["water: second_insert tank_valve tank tank_drain"])
        assert isolators_of(unit, HOUSINGS).isolators == ("inlet_valve", "pump_plug")

    def test_a_drain_behind_a_check_valve_relieves_nothing_for_sure(self):
        unit = skid(TANK | {"flap": "check_valve"}, ["water: second_insert tank_valve tank flap tank_drain"])
        assert "tank_valve" in isolators_of(unit, HOUSINGS).isolators

    def test_a_tank_that_keeps_its_water_is_cut_off_in_spite_of_its_drain(self):
        parts = TANK | {"tank": {"role": "store", "keeps": ["water"]}}
        unit = skid(parts, ["water: second_insert tank_valve tank tank_drain"])
        assert "tank_valve" in isolators_of(unit, HOUSINGS).isolators
        assert keeps_of(unit, HOUSINGS) == ()
        assert keeps_of(unit, ["tank"]) == ("tank",)
        assert vents_of(unit, ["tank"]).vents == ()

    def test_the_tank_itself_is_not_cut_from_itself(self):
        unit = skid(TANK, ["water: second_insert tank_valve tank"])
        assert isolators_of(unit, ["tank"]).uncut == ()
        # The valve right before the tank costs other parts no water; no vent is left on its side then.
        assert isolators_of(unit, ["tank"]).isolators == ("tank_valve",)
        assert vents_of(unit, ["tank"]).unrelieved == (("tank", "water"),)

    def test_a_tank_without_a_valve_must_have_a_vent_it_surely_reaches(self):
        unit = skid({"tank": "store"}, ["water: second tank"])
        assert isolators_of(unit, ["second"]).uncut == ()
        unit = skid({"tank": "store"}, ["water: second_insert tank"])  # the insert may be blocked
        assert isolators_of(unit, ["second"]).uncut == (Uncut("second", "water", ("tank",), None),)


def test_two_feeds_and_a_hard_wired_pump():
    parts = {
        "well": "source",
        "well_valve": "isolator",
        "pump_switch": {"role": "isolator", "device": "disconnector"},
    }
    lines = [
        "water: supply inlet_valve motor",
        "water: well well_valve motor",
        "water: motor first first_button",
        "mains: socket pump_switch motor",
    ]
    unit = network(ENERGIES, SKID | parts, lines)
    assert isolators_of(unit, ["first"]).isolators == ("inlet_valve", "well_valve", "pump_switch")


DRYER: Fields = {
    "header": "source",
    "header_valve": "isolator",
    "compressor": "source",
    "inlet_valve": "isolator",
    "inlet": "component",
    "left_inlet_flap": "check_valve",
    "right_inlet_flap": "check_valve",
    "left": "component",
    "right": "component",
    "left_flap": "check_valve",
    "right_flap": "check_valve",
    "manifold": "component",
    "inlet_vent": "vent",
    "left_vent": "vent",
    "right_vent": "vent",
    "manifold_vent": "vent",
    "panel": "source",
    "breaker": {"role": "isolator", "device": "breaker"},
    "timer": {"role": "component", "runs": "mains"},
}
DRYER_LINES = [
    "air: compressor inlet_valve inlet left_inlet_flap left left_flap manifold header_valve header",
    "air: inlet right_inlet_flap right right_flap manifold",
    "air: inlet inlet_vent",
    "air: left left_vent",
    "air: right right_vent",
    "air: manifold manifold_vent",
    "mains: panel breaker timer",
]


def dryer(lines=DRYER_LINES):
    return network({"air": "gas_pressure", "mains": "electricity"}, DRYER, lines)


class TestTwinDryer:
    def test_a_check_valve_is_no_isolator(self):
        assert isolators_of(dryer(), ["left"]).isolators == ("header_valve", "inlet_valve")

    def test_the_timer_must_be_dead_besides(self):
        cut = isolators_of(dryer(), ["left"], also_off=["timer"])
        assert cut.isolators == ("header_valve", "inlet_valve", "breaker")
        assert runners_of(dryer(), ["left"]) == ()
        assert runners_of(dryer(), ["left"], also_off=["timer"]) == ("timer",)

    def test_one_vent_does_not_relieve_both_towers(self):
        assert vents_of(dryer(), ["left"]).vents == ("left_vent",)
        assert vents_of(dryer(), ["left", "right"]).vents == ("left_vent", "right_vent")

    def test_a_check_valve_is_relieved_when_all_that_could_reach_it_is(self):
        vents = ("inlet_vent", "left_vent", "right_vent", "manifold_vent")
        assert vents_of(dryer(), ["left_flap"]).vents == vents
        without = dryer([line for line in DRYER_LINES if "manifold_vent" not in line])
        assert vents_of(without, ["left_flap"]).vents == vents[:3]
        assert vents_of(without, ["left_flap"]).unrelieved == (("left_flap", "air"),)

    def test_without_a_valve_the_live_header_cannot_be_cut(self):
        bare = dryer([line.replace("header_valve ", "") for line in DRYER_LINES])
        assert isolators_of(bare, ["left"]).uncut == (Uncut("left", "air", ("header",), None),)


class TestOrderOfComparison:
    """Two candidates each, one better in exactly the number that is looked at."""

    def test_the_nearer(self):
        assert isolators_of(water({}, "s v1 v2 c"), ["c"]).isolators == ("v2",)

    def test_fewer_holders_cut_off_before_nearness(self):
        # v2 is the nearer, but it also cuts the air of c2.
        parts = {"s": "source", "v1": "isolator", "v2": "isolator", "c": "component"}
        parts |= {"s2": "source", "c2": "component"}
        lines = ["water: s v1 v2 c", "air: s2 v2 c2"]
        unit = network({"water": "liquid_pressure", "air": "gas_pressure"}, parts, lines)
        assert isolators_of(unit, ["c"]).isolators == ("v1",)

    def test_fewer_devices_before_fewer_holders(self):
        unit = water({}, "s v1 c1 v2 c", "c1 v3 c")
        assert isolators_of(unit, ["c"]).isolators == ("v1",)

    def test_our_own_two_before_one_of_the_site(self):
        unit = water({"v1": {"role": "isolator", "site": True}}, "s v1 c1 v2 c", "c1 v3 c")
        assert isolators_of(unit, ["c"]).isolators == ("v2", "v3")

    def test_one_of_the_site_before_one_that_cannot_be_locked(self):
        parts = {"v1": {"role": "isolator", "site": True}, "v2": {"role": "isolator", "lock": "none"}}
        assert isolators_of(water(parts, "s v1 v2 c"), ["c"]).isolators == ("v1",)

    @pytest.mark.parametrize("first", ["v1", "v2"])
    def test_place_in_the_file_last(self, first):
        # v1 stands farther off on the water, but as near as v2 on the air.
        parts = (
            {first: "isolator"} | dict.fromkeys(["v1", "v2"], "isolator") | {"s": "source", "c": "component"}
        )
        lines = ["water: s v1 v2 c", "air: v1 c"]
        unit = network({"water": "liquid_pressure", "air": "gas_pressure"}, parts, lines)
        assert isolators_of(unit, ["c"]).isolators == (first,)


BYPASS: Fields = {"v9": {"role": "isolator", "normal": "off"}}


class TestNormallyOff:
    def test_a_bypass_must_stay_off(self):
        cut = isolators_of(water(BYPASS, "s v1 c", "s v9 c"), ["c"])
        assert (cut.isolators, cut.stay_off) == (("v9", "v1"), ("v9",))

    def test_one_that_is_not_leaned_on_is_left_out(self):
        cut = isolators_of(water(BYPASS, "s v1 c", "c v9 c2"), ["c"])
        assert (cut.isolators, cut.stay_off) == (("v1",), ())

    def test_of_two_in_series_one_is_enough(self):
        parts = BYPASS | {"v8": {"role": "isolator", "normal": "off", "lock": "none"}}
        assert isolators_of(water(parts, "s v9 v8 c"), ["c"]).stay_off == ("v9",)


def deep(depth, *paths):
    names = dict.fromkeys(name for path in paths for name in path.split())
    roles = {"v": "isolator", "s": "source", "c": "component", "d": "vent"}
    parts = {name: roles[name[0]] for name in names}
    energies = {"steam": {"form": "steam", "depth": depth}}
    return network(energies, parts, [f"steam: {path}" for path in paths])


class TestDepth:
    def test_double_takes_two(self):
        assert isolators_of(deep("double", "s v1 v2 v3 c"), ["c"]).isolators == ("v2", "v3")

    def test_two_side_by_side_are_not_deep(self):
        cut = isolators_of(deep("double", "s v1 c", "s v2 c"), ["c"])
        assert cut.isolators == ("v1", "v2")
        assert cut.uncut == (Uncut("c", "steam", ("s",), Depth.SINGLE),)

    def test_block_and_bleed_takes_the_pair_with_a_vent_between(self):
        cut = isolators_of(deep("double_block_and_bleed", "s v1 c1 v2 v3 c", "c1 d1"), ["c"])
        assert (cut.isolators, cut.bleeds, cut.uncut) == (("v1", "v3"), ("d1",), ())

    def test_without_a_vent_between_it_is_a_double_block_only(self):
        cut = isolators_of(deep("double_block_and_bleed", "s c1 v1 v2 c", "c1 d1"), ["c"])
        assert (cut.isolators, cut.bleeds) == (("v1", "v2"), ())
        assert cut.uncut == (Uncut("c", "steam", ("s",), Depth.DOUBLE),)

    def test_a_vent_that_is_open_already_is_not_listed(self):
        energies = {"steam": {"form": "steam", "depth": "double_block_and_bleed"}}
        parts: Fields = {"s": "source", "v1": "isolator", "v2": "isolator"}
        parts |= {"c": "component", "c1": "component", "d1": {"role": "vent", "normally_open": True}}
        cut = isolators_of(network(energies, parts, ["steam: s v1 c1 v2 c", "steam: c1 d1"]), ["c"])
        assert (cut.isolators, cut.bleeds, cut.uncut) == (("v1", "v2"), (), ())


def test_the_body_of_an_isolator_is_cut_by_others():
    unit = water({}, "s v1 v2 c d")
    assert isolators_of(unit, ["v2"]).isolators == ("v1",)
    assert isolators_of(unit, ["v2", "c"]).isolators == ("v1",)
    assert isolators_of(unit, ["v1"]).uncut == (Uncut("v1", "water", ("s",), None),)


def test_one_device_on_two_energies_counts_once():
    energies = {"water": "liquid_pressure", "heat": "heat"}
    parts = {"s": "source", "v1": "isolator", "v2": "isolator", "v3": "isolator", "c": "component"}
    # v2 and v3 stand nearer, but v1 alone does for both.
    unit = network(energies, parts, ["water: s v1 v2 c", "heat: s v1 v3 c"])
    assert isolators_of(unit, ["c"]).isolators == ("v1",)


def test_a_capacitor_beside_wet_work_is_to_be_discharged():
    energies = ENERGIES
    parts: Fields = {
        "s": "source",
        "v": "isolator",
        "sleeve": {"role": "component", "near": ["ballast"]},
        "socket": "source",
        "plug": {"role": "isolator", "device": "plug"},
        "ballast": "component",
        "capacitor": "store",
    }
    unit = network(energies, parts, ["water: s v sleeve", "mains: socket plug ballast capacitor"])
    cut = isolators_of(unit, ["sleeve"])
    assert cut.isolators == ("v", "plug")
    assert cut.uncut == (Uncut("ballast", "mains", ("capacitor",), None),)
    assert keeps_of(unit, ["sleeve"]) == ("capacitor",)


def test_what_is_brought_in_is_kept_by_nothing_in_normal_service():
    energies: Fields = {"hot": "heat", "bleach": {"form": "chemical", "brought": True}}
    unit = network(
        energies, {"s": "source", "v": "isolator", "c": "component"}, ["hot: s v c", "bleach: v c"]
    )
    assert keeps_of(unit, ["c"]) == ("c",)
    unit = network(energies, {"s": "source", "v": "isolator", "c": "component"}, ["bleach: s v c"])
    assert keeps_of(unit, ["c"]) == ()


def test_an_open_vent_needs_no_other():
    unit = water({"d1": {"role": "vent", "normally_open": True}}, "s v c d1", "c d2")
    assert vents_of(unit, ["c"]).vents == ()
    assert sees(unit, "c", "water", ["c"]) == "d1"


def test_one_vent_for_both_before_two_near_ones():
    unit = water({}, "s v c1 c2 c3", "c1 d1", "c3 d2", "c2 d3")
    assert vents_of(unit, ["c1", "c3"]).vents == ("d1",)


@pytest.mark.parametrize("parts", [["first", "second"], ["second", "first"], ["second", "first", "first"]])
def test_the_order_of_the_parts_does_not_matter(parts):
    assert isolators_of(skid(), parts) == isolators_of(skid(), HOUSINGS)
    assert vents_of(skid(), parts) == vents_of(skid(), HOUSINGS)


def test_an_unknown_name_is_an_error():
    with pytest.raises(KeyError):
        isolators_of(skid(), ["frist"])

"""The energy rules that look beside the proof, case by case: each case changes one thing of a small unit."""

from __future__ import annotations

import json
from typing import Any

from tests.rules import example

WAIT = "energy/wait-too-short"
HOT = "energy/vented-hot"
UNTOLD = "energy/no-warning"
NO_WAY = "energy/verify-no-way-back"

WARNING = {"word": "warning", "hazard": "Heat.", "harm": "It burns.", "avoid": "Wait."}
HEAT = {"form": "heat", "warning": WARNING}
THERMOMETER = {"role": "gauge", "at": "housing", "energy": "heat"}
BARE = {"energies": {"heat": {"form": "heat"}}}
ZERO = {"verify_zero": {"part": "housing", "by": "gauge"}}
VENT = {"vent": "drain"}
UNTIL = {"gauge": "thermometer", "reads": "40 °C or less"}


def heated(**parts: dict) -> dict:
    """A housing that holds heat for 40 min at least; the drain lets it out."""
    return {
        "energies": {"heat": HEAT},
        "parts": {"housing": {"leaves_in": {"heat": "40 min"}}, "thermometer": THERMOMETER, **parts},
        "lines": {"warm": {"energy": "heat", "path": ["housing", "drain"]}},
    }


def with_line(unit: dict, name: str, energy: object, *path: str) -> dict:
    return {**unit, "lines": {**unit["lines"], name: {"energy": energy, "path": list(path)}}}


def found(rule: str, steps: list[dict], unit: dict | None = None) -> list[str]:
    """The messages of one rule; a case that could not be resolved is a fault of the test."""
    check = example.check(example.on_page(json.dumps({"unit": unit or {}, "steps": steps})))
    assert [str(v.verdict) for v in check.verdicts] in (["safe"], ["unsafe"]), check.findings
    return [f.message for f in check.findings if f.rule == rule]


def wait(time: str = "40 min", until: dict | None = UNTIL, part: str = "housing") -> dict:
    said = {} if until is None else {"until": until}
    return {"wait": time, **said, "discharge": part}


class TestWaitTooShort:
    def test_the_least_wait_in_another_measure_is_enough(self) -> None:
        assert found(WAIT, [wait("1 h")], heated()) == []

    def test_a_part_that_names_no_wait_is_left_alone(self) -> None:
        unit = with_line(heated(), "pump_heat", "heat", "pump", "drain")
        assert found(WAIT, [wait("1 s", None, "pump")], unit) == []

    def test_a_step_that_is_no_wait(self) -> None:
        reading, time = sorted(found(WAIT, [{"do": "Let it cool.", "discharge": "housing"}], heated()))
        assert reading == "No reading shows that heat has left the filter housing."
        assert time == "This step says no time, but heat takes at least 40 min to leave the filter housing."

    def test_a_check_that_is_kept_up_has_no_reading_that_ends_it(self) -> None:
        step = {"check": "It is cool.", "for": "40 min", "discharge": "housing"}
        assert found(WAIT, [step], heated()) == ["No reading shows that heat has left the filter housing."]

    def test_a_time_of_another_kind(self) -> None:
        (message,) = found(WAIT, [wait("2 months")], heated())
        assert "cannot be held against `40 min`" in message

    def test_a_gauge_of_another_energy_shows_nothing(self) -> None:
        until = {"gauge": "gauge", "reads": "0 bar"}
        assert len(found(WAIT, [wait("40 min", until)], heated())) == 1

    def test_a_gauge_behind_an_isolator_shows_nothing(self) -> None:
        unit = with_line(
            heated(thermometer={**THERMOMETER, "at": "pump"}), "far", "heat", "housing", "inlet_valve", "pump"
        )
        assert len(found(WAIT, [wait()], unit)) == 1

    def test_what_nothing_divides_from_the_part_leaves_with_it(self) -> None:
        unit = with_line(heated(pump={"leaves_in": {"heat": "2 h"}}), "joined", "heat", "housing", "pump")
        (message,) = found(WAIT, [wait()], unit)
        assert "2 h to leave the pump" in message

    def test_of_two_such_energies_of_a_part_one_reading_does(self) -> None:
        unit = with_line(heated(), "sprung", "spring", "housing", "tap")
        unit["energies"] = {"heat": HEAT, "spring": {"form": "spring", "warning": WARNING}}
        unit["parts"]["housing"] = {"role": "store", "leaves_in": {"heat": "40 min", "spring": "1 h"}}
        (message,) = found(WAIT, [wait()], unit)
        assert "spring takes at least 1 h" in message


class TestVentedHot:
    def test_heat_that_a_source_brings(self) -> None:
        unit = {
            "lines": {"warm": {"energy": "heat", "path": ["supply", "drain"]}},
            "energies": {"heat": HEAT},
        }
        assert len(found(HOT, [VENT], unit)) == 1

    def test_once_it_is_cool(self) -> None:
        assert found(HOT, [wait(), VENT], heated()) == []

    def test_waiting_while_it_is_heated_cools_nothing(self) -> None:
        unit = with_line(heated(), "fire", "heat", "socket", "housing")
        assert len(found(HOT, [wait(), VENT], unit)) == 1

    def test_a_piped_vent(self) -> None:
        assert found(HOT, [VENT], heated(drain={"piped": "true"})) == []

    def test_a_vent_on_no_line_of_the_heat(self) -> None:
        unit = heated()
        unit["lines"] = {"warm": {"energy": "heat", "path": ["housing", "tap"]}}
        assert found(HOT, [VENT], unit) == []

    def test_what_comes_along_the_fluid_counts(self) -> None:
        """The pump's heat stands on another line of it, and comes out with the water."""
        unit = with_line(heated(pump={"leaves_in": {"heat": "2 h"}}), "pump_heat", "heat", "pump", "plug")
        assert len(found(HOT, [wait(), VENT], unit)) == 1

    def test_the_verdict_does_not_rest_on_it(self) -> None:
        steps = [VENT, {"shut": "drain"}]
        check = example.check(example.on_page(json.dumps({"unit": heated(), "steps": steps})))
        assert {f.rule for f in example.without_style(check).findings if not f.rule.startswith("unit/")} == {
            HOT
        }
        assert [str(v.verdict) for v in check.verdicts] == ["safe"]


class TestNoWarning:
    def test_an_energy_that_no_step_meets_needs_none(self) -> None:
        unit = {**BARE, "lines": {"warm": {"energy": "heat", "path": ["pump", "tap"]}}}
        assert found(UNTOLD, [{"open": "housing"}], unit) == []

    def test_what_is_vented_opened_or_uncovered(self) -> None:
        unit: dict[str, Any] = {**BARE, "parts": {"pump": {"cover": "true"}}}
        unit["lines"] = {"warm": {"energy": "heat", "path": ["pump", "housing", "drain"]}}
        for step in ({"vent": "drain"}, {"open": "housing"}, {"uncover": "pump"}):
            (message,) = found(UNTOLD, [step], unit)
            assert "nothing warns of it" in message

    def test_electricity_beside_a_wet_part_that_is_opened(self) -> None:
        unit: dict[str, Any] = {"energies": {"control": {"form": "electricity"}}}
        unit["lines"] = {"control": {"energy": "control", "path": ["socket", "pump"]}}
        (message,) = found(UNTOLD, [{"open": "housing"}], unit)
        assert message.startswith("Work at the pump could meet control")
        assert found(UNTOLD, [{"vent": "drain"}], unit) == []

    def test_beside_a_dry_part_electricity_is_not_met(self) -> None:
        unit: dict[str, Any] = {
            "energies": {"control": {"form": "electricity"}, "water": {"form": "gas_pressure"}}
        }
        unit["lines"] = {"control": {"energy": "control", "path": ["socket", "pump"]}}
        assert found(UNTOLD, [{"open": "housing"}], unit) == []

    def test_what_a_warning_leaves_out_is_named(self) -> None:
        unit = {"energies": {"heat": {"form": "heat", "warning": {"word": "warning", "hazard": "Heat."}}}}
        unit["lines"] = {"warm": {"energy": "heat", "path": ["housing", "drain"]}}
        (message,) = found(UNTOLD, [{"vent": "drain"}, {"open": "housing"}], unit)
        assert "its warning has no `harm` and no `avoid`" in message


class TestVerifyNoWayBack:
    def test_what_says_nothing(self) -> None:
        for step in (ZERO, {"check": "It reads zero.", **ZERO}, {"do": "See zero.", **ZERO}):
            assert len(found(NO_WAY, [step])) == 1

    def test_any_way_that_is_said_will_do(self) -> None:
        ways = ({"end_here": "Call."}, {"continue": "true"}, {"steps": [{"do": "Call."}], "continue": "true"})
        for way in ways:
            assert found(NO_WAY, [{**ZERO, "otherwise": way}]) == []

    def test_the_way_said_for_a_group_holds_for_its_checks(self) -> None:
        assert found(NO_WAY, [{"id": "zero", "steps": [ZERO], "otherwise": {"end_here": "Call."}}]) == []

    def test_the_steps_of_an_otherwise_are_looked_at_too(self) -> None:
        otherwise = {"steps": [{"id": "again", **ZERO}], "end_here": "Call."}
        assert len(found(NO_WAY, [{**ZERO, "otherwise": otherwise}])) == 1

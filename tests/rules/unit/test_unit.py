"""Rules over units, where one example and one fixture do not say it all."""

import json
from typing import Any

import pytest

from tests.rules import example


def found(rule, unit, **more):
    """The findings of a rule for the example unit with something laid over it."""
    check = example.check(example.on_page(json.dumps({"unit": unit, **more})))
    assert not [f for f in check.findings if f.rule.startswith("file/") or f.rule == "graph/unknown-name"]
    return [f for f in check.findings if f.rule == rule]


VALVE = {"role": "isolator", "device": "valve", "name": "valve", "tag": "V9", "place": "here", "lock": "hasp"}
WARNING = {"word": "warning", "hazard": "It is hot.", "harm": "It burns you.", "avoid": "Wait."}


def energy(form, **more):
    return {"form": form, "normal": "4 bar", "safe": "0 bar", "warning": WARNING, **more}


DRY: dict[str, Any] = {
    "lockout": "exclusive_control",
    "energies": {"water": "~"},
    "parts": {
        **dict.fromkeys(["supply", "inlet_valve", "drain", "tap", "gauge"], "~"),
        "housing": {"near": []},
    },
    "lines": {"main": "~", "relief": "~", "power": {"path": ["socket", "plug", "pump"]}},
}
"""The example unit without its water: a pump on a plug."""


class TestControlUnfit:
    """29 CFR 1910.147(a)(2)(iii)(A)."""

    RULE = "unit/control-unfit"

    def dry(self, **more):
        unit = json.loads(json.dumps(DRY))
        for key, value in more.items():
            unit[key] = {**unit.get(key, {}), **value} if isinstance(value, dict) else value
        return [f.message for f in found(self.RULE, unit, steps=[{"do": "Look at the <pump>."}])]

    def test_a_pump_on_a_water_main_is_not_exempt_by_its_plug(self):
        """Oracle O6: pump and pressurised water, and the only step is to unplug."""
        unit: dict[str, Any] = {"lockout": "exclusive_control"}
        fault = found(self.RULE, unit, steps=[{"isolate": "plug"}])
        assert [str(f.level) for f in fault] == ["error"]
        assert "water main" in fault[0].message

    def test_so_it_is_for_the_plug_alone(self):
        fault = found(self.RULE, {"parts": {"plug": {"exclusive_control": "true"}}})
        assert [f.part for f in fault] == ["plug"]

    def test_one_plug_and_nothing_stored(self):
        assert self.dry() == []

    def test_not_claimed(self):
        assert found(self.RULE, {"lockout": "required"}) == []

    def test_a_second_source(self):
        parts: dict[str, Any] = {
            "panel": {"role": "source"},
            "lamp": {"role": "component", "end": "true", "near": []},
        }
        lines: dict[str, Any] = {"light": {"energy": "mains", "path": ["panel", "lamp"]}}
        assert "panel still feeds mains" in self.dry(parts={**DRY["parts"], **parts}, lines=lines)[0]

    def test_a_second_source_that_feeds_nothing_yet(self):
        parts: dict[str, Any] = {
            **DRY["parts"],
            "panel": {"role": "source"},
            "breaker": {**VALVE, "device": "breaker"},
        }
        lines: dict[str, Any] = {"light": {"energy": "mains", "path": ["panel", "breaker", "plug"]}}
        assert self.dry(parts=parts, lines=lines)

    def test_a_capacitor(self):
        parts: dict[str, Any] = {**DRY["parts"], "capacitor": {"role": "store", "near": []}}
        lines: dict[str, Any] = {"power": {"path": ["socket", "plug", "pump", "capacitor"]}}
        assert "mains stays stored in the capacitor" in self.dry(parts=parts, lines=lines)[0]

    def test_heat_that_stays(self):
        energies = {"water": "~", "heat": energy("heat")}
        lines: dict[str, Any] = {**DRY["lines"], "warm": {"energy": "heat", "path": ["pump", "housing"]}}
        assert "heat stays stored" in self.dry(energies=energies, lines=lines)[0]

    def test_what_the_technician_brings_in_is_not_there(self):
        energies = {"water": "~", "lye": energy("chemical", brought="true")}
        lines: dict[str, Any] = {**DRY["lines"], "dosing": {"energy": "lye", "path": ["pump", "housing"]}}
        assert self.dry(energies=energies, lines=lines) == []

    def test_two_plugs(self):
        parts: dict[str, Any] = {**DRY["parts"], "other": {**VALVE, "device": "plug"}}
        lines: dict[str, Any] = {"power": {"path": ["socket", "other", "plug", "pump"]}}
        assert "2 plugs" in self.dry(parts=parts, lines=lines)[0]

    def test_a_switch_is_no_plug(self):
        assert "no plugs" in self.dry(parts={**DRY["parts"], "plug": {"device": "disconnector"}})[0]

    def test_a_warning_in_the_household_profile(self):
        fault = found(self.RULE, {"lockout": "exclusive_control"}, library={"profile": "household"})
        assert [str(f.level) for f in fault] == ["warning"]


class TestIdleIsolator:
    RULE = "unit/idle-isolator"

    def idle(self, **lines):
        named = {name: {"energy": "water", "path": path} for name, path in lines.items()}
        parts: dict[str, Any] = {"v8": {**VALVE, "tag": "V8", "end": "true"}, "v9": {**VALVE, "end": "true"}}
        return {f.part for f in found(self.RULE, {"parts": parts, "lines": named})}

    def test_on_no_line(self):
        assert self.idle() == {"v8", "v9"}

    def test_at_a_blind_end(self):
        assert self.idle(spur=["housing", "v8", "v9"]) == {"v8", "v9"}

    def test_one_behind_the_other(self):
        assert self.idle(main=["supply", "v8", "v9", "inlet_valve", "pump", "housing", "tap"]) == set()

    def test_with_an_open_way_round(self):
        main = ["supply", "inlet_valve", "pump", "v8", "housing", "tap"]
        assert self.idle(main=main, round=["pump", "housing"]) == {"v8", "v9"}

    def test_with_a_way_round_that_can_be_shut(self):
        main = ["supply", "inlet_valve", "pump", "v8", "housing", "tap"]
        assert self.idle(main=main, round=["pump", "v9", "housing"]) == set()

    def test_before_an_outlet(self):
        main = ["supply", "inlet_valve", "pump", "v9", "housing", "v8", "tap"]
        assert self.idle(main=main) == set()


class TestEndUnsaid:
    RULE = "unit/end-unsaid"

    def test_an_end_that_another_line_goes_on_from(self):
        assert found(self.RULE, {"lines": {"relief": {"path": ["housing", "drain"]}}}) == []

    @pytest.mark.parametrize("role", ["component", "check_valve", "restriction", "isolator"])
    def test_an_end_that_is_none(self, role):
        unit: dict[str, Any] = {
            "parts": {"new": {"role": role}},
            "lines": {"new": {"energy": "water", "path": ["housing", "new"]}},
        }
        assert [f.part for f in found(self.RULE, unit)] == ["new"]

    @pytest.mark.parametrize("role", ["source", "store", "vent", "outlet"])
    def test_an_end(self, role):
        unit: dict[str, Any] = {
            "parts": {"new": {"role": role}},
            "lines": {"new": {"energy": "water", "path": ["housing", "new"]}},
        }
        assert found(self.RULE, unit) == []

    def test_a_drive_is_the_end_of_its_own_energy_only(self):
        unit: dict[str, Any] = {"lines": {"main": {"path": ["supply", "inlet_valve", "housing", "pump"]}}}
        assert [f.energies for f in found(self.RULE, unit)] == [("water",)]

    def test_a_gauge_goes_nowhere(self):
        unit: dict[str, Any] = {"parts": {"new": {"role": "component"}, "gauge": {"at": "new"}}}
        unit["lines"] = {"new": {"energy": "water", "path": ["housing", "new"]}}
        assert [f.part for f in found(self.RULE, unit)] == ["new"]


class TestBlindSpot:
    RULE = "unit/blind-spot"

    def blind(self, opens, unit):
        return [f.message for f in found(self.RULE, unit, opens=opens, steps=[{"do": "Look."}])]

    def test_what_is_not_opened_is_not_asked_about(self):
        assert self.blind(["housing"], {"parts": {"tester": "~"}}) == []

    def test_a_part_by_its_tag(self):
        unit: dict[str, Any] = {"parts": {"tester": "~", "pump": {"tag": "M1"}}}
        assert "nothing shows its zero" in self.blind(["M1"], unit)[0]

    def test_a_store_that_no_valve_cuts_off(self):
        unit: dict[str, Any] = {"parts": {"tank": {"role": "store", "near": [], "keeps": ["water"]}}}
        unit["lines"] = {"tank": {"energy": "water", "path": ["pump", "tank"]}}
        assert "nothing cuts off the tank" in self.blind(["housing"], unit)[0]

    def test_no_way_out(self):
        unit: dict[str, Any] = {"parts": {"insert": {"role": "restriction"}}}
        unit["lines"] = {"main": {"path": ["supply", "inlet_valve", "pump", "insert", "housing", "tap"]}}
        assert "no way out relieves it" in self.blind(["pump"], unit)[0]

    def test_a_device_is_seen_at_the_holders_next_to_it(self):
        parts: dict[str, Any] = {"insert": {"role": "restriction"}, "pump_drain": {"role": "vent"}}
        lines: dict[str, Any] = {
            "main": {"path": ["supply", "inlet_valve", "pump", "insert", "housing", "tap"]}
        }
        lines["more"] = {"energy": "water", "path": ["pump", "pump_drain"]}
        assert self.blind(["insert"], {"parts": parts, "lines": lines}) == []
        lines["more"] = {"energy": "water", "path": ["housing", "pump_drain"]}
        assert "nothing shows its zero" in self.blind(["insert"], {"parts": parts, "lines": lines})[0]

    def test_the_body_of_the_first_valve_cannot_be_cut_off(self):
        assert "nothing cuts off the water main" in self.blind(["inlet_valve"], {})[0]


class TestNearUnsaid:
    RULE = "unit/near-unsaid"

    def unsaid(self, part, form="liquid_pressure", **more):
        unit: dict[str, Any] = {
            "energies": {"water": {"form": form}},
            "parts": {"new": {"role": "component", **part}},
        }
        unit["lines"] = {"main": {"path": ["supply", "inlet_valve", "pump", "new", "housing", "tap"]}}
        return [f.part for f in found(self.RULE, unit, **more)]

    def test_with_a_seal(self):
        assert self.unsaid({"seal": "O-ring"}) == ["new"]
        assert self.unsaid({"seal": "O-ring", "near": []}) == []

    def test_opened_somewhere(self):
        assert self.unsaid({}, steps=[{"do": "Look."}]) == []
        assert self.unsaid({}, steps=[{"open": "new"}]) == ["new"]

    def test_gas_wets_nothing(self):
        assert self.unsaid({"seal": "O-ring"}, "gas_pressure") == []

    def test_steam_does(self):
        assert self.unsaid({"seal": "O-ring"}, "steam") == ["new"]


class TestIsolatorUnnamed:
    RULE = "unit/isolator-unnamed"

    @pytest.mark.parametrize("key", ["tag", "place", "lock"])
    def test_an_isolator(self, key):
        fault = found(self.RULE, {"parts": {"plug": {key: "~"}}})
        assert [f.part for f in fault] == ["plug"]
        assert f"no `{key}`" in fault[0].message

    @pytest.mark.parametrize("key", ["normal", "safe", "warning"])
    def test_an_energy(self, key):
        fault = found(self.RULE, {"energies": {"mains": {key: "~"}}})
        assert [f.energies for f in fault] == [("mains",)]
        assert f"no `{key}`" in fault[0].message

    def test_an_energy_that_is_brought_in_has_no_size(self):
        lye: dict[str, Any] = {"form": "chemical", "brought": "true", "warning": WARNING}
        unit: dict[str, Any] = {
            "energies": {"lye": lye},
            "lines": {"lye": {"energy": "lye", "path": ["pump", "housing"]}},
        }
        assert found(self.RULE, unit) == []
        del lye["warning"]
        assert found(self.RULE, {**unit, "energies": {"lye": lye}})


class TestNotCovered:
    RULE = "unit/not-covered"

    def listed(self, form, role, *path):
        unit: dict[str, Any] = {
            "energies": {"new": energy(form)},
            "parts": {"arm": {"role": role, "near": [], "end": "true"}},
        }
        unit["lines"] = {"new": {"energy": "new", "path": list(path)}} if path else {}
        return [f.message for f in found(self.RULE, unit)]

    def test_an_energy_that_runs_nowhere(self):
        assert any("runs along no line" in said for said in self.listed("heat", "component"))

    @pytest.mark.parametrize("form", ["motion", "gravity", "spring"])
    def test_what_coasts_hangs_or_is_tense_needs_a_store(self, form):
        assert any("No store keeps new" in said for said in self.listed(form, "component", "arm", "plug"))
        assert self.listed(form, "store", "arm", "plug") == []

    def test_a_load_that_hangs_on_a_fluid(self):
        said = self.listed("gravity", "store", "arm", "housing")
        assert len(said) == 1
        assert "load on the filter housing drop" in said[0]


class TestSourceUncut:
    RULE = "unit/source-uncut"

    def test_an_outlet_that_feeds_back(self):
        unit: dict[str, Any] = {"parts": {"tap": {"feeds_back": "true", "why": "~"}}}
        assert [(f.part, f.energies) for f in found(self.RULE, unit)] == [("tap", ("water",))]

    def test_a_check_valve_is_no_isolator(self):
        unit: dict[str, Any] = {"parts": {"well": {"role": "source"}, "check": {"role": "check_valve"}}}
        unit["lines"] = {"well": {"energy": "water", "path": ["well", "check", "housing"]}}
        assert [f.part for f in found(self.RULE, unit)] == ["well"]


def test_a_store_that_only_waiting_empties_needs_no_isolator():
    mains = {"form": "electricity", "normal": "230 V", "safe": "0 V"}
    files = example.clean()
    unit = {
        "unit": "CAP-1",
        "title": "Drive with a capacitor",
        "energies": {"mains": mains},
        "parts": {
            "socket": {"role": "source", "name": "socket"},
            "plug": {"role": "isolator", "device": "plug", "name": "plug", "tag": "X1", "lock": "cover"},
            "drive": {"role": "component", "name": "drive box", "near": []},
            "capacitor": {"role": "store", "name": "capacitor", "near": [], "leaves_in": {"mains": "5 min"}},
            "tester": {"role": "gauge", "name": "tester", "at": "any", "energy": "mains", "span": "1000 V"},
        },
        "lines": {"power": {"energy": "mains", "path": ["socket", "plug", "drive", "capacitor"]}},
    }
    procedure = {
        "procedure": "look-inside",
        "title": "Look inside",
        "units": ["CAP-1"],
        "opens": ["drive"],
        "steps": [{"do": "Open the <drive>.", "open": "drive"}],
    }
    files |= {"cap.yaml": json.dumps(unit), "look.yaml": json.dumps(procedure)}
    rules = {f.rule for f in example.check(files).findings if f.unit == "CAP-1"}
    assert "energy/opened-charged" in rules or "energy/opened-live" in rules
    assert "unit/blind-spot" not in rules

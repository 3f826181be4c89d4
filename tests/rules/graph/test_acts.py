"""Rules over acts, where one example and one fixture do not say it all."""

import json
from typing import Any

import pytest

from tests.rules import example


def found(rule, steps, **more):
    """Part or step of each finding of a rule for a list of steps on the example unit."""
    said = {"steps": steps, **more}
    check = example.check(example.on_page(json.dumps(said)))
    assert not [f for f in check.findings if f.rule.startswith("file/") or f.rule == "graph/unknown-name"]
    return [f for f in check.findings if f.rule == rule]


OPENED = [{"use": "make-safe"}, {"do": "Unscrew the <housing>.", "open": "housing"}]


class TestActMissing:
    RULE = "graph/act-missing"

    @pytest.mark.parametrize(
        ("text", "act"),
        [
            ("Open the <drain>.", {"vent": "drain"}),
            ("Open the <inlet_valve> a quarter turn.", {"throttle": "inlet_valve"}),
            ("Drain the <housing> through the <drain>.", {"vent": "drain"}),
            ("Switch the <pump> off.", {"stop": "pump"}),
            ("Loosen the <housing>.", {"loosen": "housing"}),
        ],
    )
    def test_the_act_that_says_so(self, text, act):
        assert found(self.RULE, [{"do": text, **act}]) == []
        assert [f.part for f in found(self.RULE, [{"do": text}])] != []

    def test_an_act_that_says_the_opposite_is_not_enough(self):
        assert found(self.RULE, [{"do": "Open the <drain>.", "shut": "drain"}])

    def test_the_same_act_on_another_part_is_not_enough(self):
        steps = [{"do": "Close the <inlet_valve> and the <drain>.", "isolate": "inlet_valve"}]
        assert [f.part for f in found(self.RULE, steps)] == ["drain"]

    def test_what_cannot_be_so_moved_is_not_asked_for(self):
        """No act switches a tester or a socket, and nothing is hidden from the proof."""
        assert found(self.RULE, [{"do": "Switch the <tester> on."}]) == []
        assert found(self.RULE, [{"do": "Turn the <socket> off."}]) == []

    def test_one_name_for_two_parts(self):
        unit: dict[str, Any] = {"parts": {"pump_drain": {"role": "vent", "name": "drain valve"}}}
        unit["lines"] = {"more": {"energy": "water", "path": ["pump", "pump_drain"]}}
        for drain in ("drain", "pump_drain"):
            assert found(self.RULE, [{"do": "Open the drain valve.", "vent": drain}], unit=unit) == []
        assert found(self.RULE, [{"do": "Open the drain valve."}], unit=unit)

    def test_notes_order_nothing(self):
        assert found(self.RULE, [{"do": "Wipe the <pump>.", "note": "Open the <drain> later."}]) == []

    def test_another_language_is_not_read(self):
        steps = [{"do": "Open the <drain>."}]
        assert found(self.RULE, steps, library={"language": "de"}) == []

    def test_where_the_job_stops_it_is_told_once_for_all_checks(self):
        steps = [
            {
                "id": "all",
                "title": "All",
                "steps": [{"check": "One is dry.", "id": "one"}, {"check": "Two is dry.", "id": "two"}],
                "otherwise": {"end_here": "Open the <drain> and call for help."},
            }
        ]
        assert [f.part for f in found(self.RULE, steps)] == ["drain"]


class TestActUnopened:
    RULE = "graph/act-unopened"

    @pytest.mark.parametrize(
        "act",
        [
            {"remove": "cartridge"},
            {"fit": {"part": "housing", "what": "cartridge"}},
            {"clean": "housing"},
            {"lubricate": {"part": "housing", "what": "thread"}},
        ],
    )
    def test_inside_a_part(self, act):
        shut = [{"use": "make-safe"}, {"do": "Work on it.", **act}]
        assert [f.part for f in found(self.RULE, shut)] == ["housing"]
        assert found(self.RULE, [*OPENED, {"do": "Work on it.", **act}]) == []

    def test_another_part_that_stands_open_is_not_enough(self):
        steps = [*OPENED, {"do": "Work on it.", "clean": "pump"}]
        assert [f.part for f in found(self.RULE, steps)] == ["pump"]

    def test_every_order_counts(self):
        steps = [
            {"use": "make-safe"},
            {
                "any_order": [
                    {"do": "Unscrew the <housing>.", "open": "housing"},
                    {"do": "Take it out.", "remove": "cartridge"},
                ]
            },
        ]
        assert found(self.RULE, steps)[0].trace

    def test_behind_a_cover(self):
        unit: dict[str, Any] = {"parts": {"pump": {"cover": "true"}}}
        steps = [{"use": "make-safe"}, {"uncover": "pump"}, {"do": "Blow it out.", "clean": "pump"}]
        assert found(self.RULE, steps, unit=unit) == []

    @pytest.mark.parametrize("what", ["frame", "floor round the unit", "tester"])
    def test_what_is_inside_nothing(self, what):
        assert found(self.RULE, [{"do": "Wipe it.", "clean": what}]) == []

    def test_the_verdict_does_not_rest_on_it(self):
        steps = [{"do": "Take it out.", "remove": "cartridge"}]
        check = example.check(example.on_page(json.dumps({"steps": steps})))
        assert [str(v.verdict) for v in check.verdicts] == ["safe"]


SEVERAL = {"id": "several", "acts": [{"isolate": "inlet_valve"}, {"vent": "drain"}]}
PUMP_DRAIN: dict[str, Any] = {
    "parts": {"pump_drain": {"role": "vent", "name": "pump drain"}},
    "lines": {"more": {"energy": "water", "path": ["pump", "pump_drain"]}},
}


class TestActsMayMix:
    RULE = "graph/acts-may-mix"

    def mixing(self, *entries):
        return [f.step for f in found(self.RULE, [{"any_order": list(entries)}], unit=PUMP_DRAIN)]

    def test_beside_a_step_on_the_same_energy(self):
        assert self.mixing(SEVERAL, {"vent": "pump_drain"}) == ["several"]

    def test_beside_a_step_on_another_energy(self):
        assert self.mixing(SEVERAL, {"isolate": "plug"}) == []

    def test_one_act_on_each_energy(self):
        two = {"id": "two", "acts": [{"isolate": "inlet_valve"}, {"isolate": "plug"}]}
        assert self.mixing(two, {"vent": "pump_drain"}) == []

    def test_locks_move_nothing(self):
        two = {"id": "two", "isolate": "inlet_valve", "lock": "inlet_valve"}
        assert self.mixing(two, {"vent": "pump_drain"}) == []

    def test_in_order(self):
        assert found(self.RULE, [SEVERAL, {"vent": "pump_drain"}], unit=PUMP_DRAIN) == []

    def test_inside_an_otherwise(self):
        inner = {"any_order": [SEVERAL, {"vent": "pump_drain"}]}
        steps = [{"check": "It is dry.", "otherwise": {"steps": [inner], "continue": "true"}}]
        assert len(found(self.RULE, steps, unit=PUMP_DRAIN)) == 1


class TestIdleAct:
    RULE = "graph/idle-act"

    def test_a_block_used_twice_is_judged_over_its_uses(self):
        block = {"quiet": {"title": "Quiet", "steps": [{"shut": "drain"}]}}
        steps = [{"use": "quiet", "id": "first"}, {"vent": "drain"}, {"use": "quiet", "id": "second"}]
        assert found(self.RULE, steps, blocks=block) == []
        assert len(found(self.RULE, [steps[0]], blocks=block)) == 1

    def test_an_act_that_changes_something_in_one_order_only(self):
        steps = [{"any_order": [{"vent": "drain"}, {"shut": "drain"}]}]
        assert found(self.RULE, steps) == []

    def test_an_act_that_changes_something_after_a_failed_check_only(self):
        steps = [
            {"check": "It is dry.", "otherwise": {"steps": [{"vent": "drain"}], "continue": "true"}},
            {"shut": "drain"},
        ]
        assert found(self.RULE, steps) == []

    @pytest.mark.parametrize("act", ["tighten: housing", "stop: pump", "lock: plug"])
    def test_confirming(self, act):
        verb, _, part = act.partition(": ")
        once = {verb: part, "id": "once"}
        assert found(self.RULE, [{"isolate": "plug"}, once, {**once, "id": "again"}]) == []


BACK = {"back_to": "wipe"}


class TestEndless:
    RULE = "graph/endless"

    def endless(self, otherwise):
        steps = [{"do": "Wipe it.", "id": "wipe"}, {"check": "It is dry.", "otherwise": otherwise}]
        return [f.message for f in found(self.RULE, steps)]

    def test_what_is_lacking_is_told(self):
        assert "`at_most` and `then`" in self.endless(BACK)[0]
        assert "lacks `then`" in self.endless({**BACK, "at_most": "2"})[0]

    def test_a_then_that_goes_back_without_end(self):
        again = {**BACK, "at_most": "2", "then": BACK}
        assert len(self.endless(again)) == 1

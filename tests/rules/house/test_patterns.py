"""Each form of house rule, its scopes and its words, on procedures of a few steps."""

from __future__ import annotations

import pytest

from tests.rules.house.small import check, house


class TestPrecedence:
    RULE = "before: {act: open}, first: {act: isolate}"

    @pytest.mark.parametrize(
        ("steps", "broken"),
        [
            ("  - {isolate: plug}\n  - {open: housing}\n", []),
            ("  - {open: housing}\n  - {isolate: plug}\n", ["open-housing"]),
            ("  - {isolate: plug}\n", []),
            ("  - {isolate: plug}\n  - {open: housing, after: []}\n", ["open-housing"]),
            ("  - {isolate: plug}\n  - {restore: plug}\n  - {open: housing}\n", ["open-housing"]),
            ("  - {id: both, acts: [{isolate: plug}, {open: housing}]}\n", []),
            ("  - {id: both, acts: [{open: housing}, {isolate: plug}]}\n", ["both"]),
        ],
    )
    def test_no_opening_before_isolating(self, steps, broken):
        """`!open W isolated`: isolated then open holds, open then isolated does not, no opening holds."""
        assert house(steps, self.RULE) == broken

    def test_the_condition_still_holds_at_that_moment(self):
        on, off = "{do: On., id: on, makes: {glasses: worn}}", "{do: Off., id: off, makes: {glasses: off}}"
        rule = "before: {act: open}, first: {glasses: worn}"
        assert house(f"  - {on}\n  - {{open: housing}}\n", rule) == []
        assert house(f"  - {on}\n  - {off}\n  - {{open: housing}}\n", rule) == ["open-housing"]

    def test_a_failed_check_has_not_made_it_so(self):
        worn = "{check: On?, id: on, makes: {glasses: worn}, otherwise: {continue: true}}"
        assert house(
            f"  - {worn}\n  - {{open: housing}}\n", "before: {act: open}, first: {glasses: worn}"
        ) == ["open-housing"]

    @pytest.mark.parametrize(("text", "broken"), [("Tell the crew.", []), ("Look.", ["open-housing"])])
    def test_a_text_that_tells_people_is_telling(self, text, broken):
        steps = f"  - {{do: {text}, id: say}}\n  - {{open: housing}}\n"
        assert house(steps, "before: {act: open}, first: {act: tell}") == broken

    def test_each_part_of_a_list_comes_first(self):
        rule = "before: {act: open}, first: {act: lock, part: [V1, plug]}"
        lock = "  - {isolate: [inlet_valve, plug]}\n  - {lock: inlet_valve}\n"
        assert house(f"{lock}  - {{open: housing}}\n", rule) == ["open-housing"]
        assert house(f"{lock}  - {{lock: plug}}\n  - {{open: housing}}\n", rule) == []


class TestResponse:
    RULE = "after: {act: restore}, must: {crew: running}"
    TELL = "  - {do: Tell., id: tell, makes: {crew: running}}\n"

    def test_it_is_owed_at_the_end(self):
        assert house("  - {restore: plug}\n", self.RULE) == [None]
        assert house(f"  - {{restore: plug}}\n{self.TELL}", self.RULE) == []
        assert house(f"{self.TELL}  - {{restore: plug}}\n", self.RULE) == [None]

    def test_connecting_to_the_normal_position_restores(self):
        assert house("  - {isolate: plug}\n  - {connect: plug}\n", self.RULE) == [None]

    def test_it_is_owed_again(self):
        assert house(f"  - {{restore: plug}}\n{self.TELL}  - {{restore: inlet_valve}}\n", self.RULE) == [None]

    def test_it_is_not_owed_where_the_job_stops(self):
        stop = "  - {check: Fine?, id: fine, otherwise: {end_here: Stop.}}\n"
        assert house(f"  - {{restore: plug}}\n{stop}{self.TELL}", self.RULE) == []

    def test_a_failed_check_pays_nothing(self):
        look = "  - {check: Dry?, id: dry, leak_check: housing, otherwise: {continue: true}}\n"
        assert house(f"  - {{restore: plug}}\n{look}", "after: {act: restore}, must: {act: leak_check}") == [
            None
        ]

    def test_it_stands_at_the_last_step_that_owes_it(self):
        rule = f"  - {{id: r, say: Tell them., {self.RULE}}}\n"
        (found,) = [
            f for f in check("  - {restore: inlet_valve}\n  - {restore: plug}\n", rule) if f.rule == "house/r"
        ]
        assert found.span is not None and (found.file, found.span.line) == ("procedure.yaml", 6)
        assert [str(place.span) for place in found.related] == ["library.yaml:4:10"]


class TestAbsence:
    RULE = "never: {act: lubricate}, between: [{act: start}, {act: stop}]"
    GREASE = "  - {do: Grease., id: grease, lubricate: {part: pump, what: bearing}}\n"

    @pytest.mark.parametrize(
        ("steps", "broken"),
        [
            ("{grease}", []),
            ("  - {{start: pump}}\n{grease}", ["grease"]),
            ("  - {{start: pump}}\n  - {{stop: pump}}\n{grease}", []),
            ("  - {{start: pump}}\n{grease}  - {{stop: pump}}\n", ["grease"]),
            ("{grease}  - {{start: pump}}\n", []),
        ],
    )
    def test_from_the_first_to_the_second_or_to_the_end(self, steps, broken):
        assert house(steps.format(grease=self.GREASE), self.RULE) == broken

    def test_never_at_all(self):
        assert house(self.GREASE, "never: {act: lubricate}") == ["grease"]

    def test_a_condition_that_never_holds_inside(self):
        off = "  - {do: Off., id: off, makes: {glasses: off}}\n"
        on = "  - {do: On., id: on, makes: {glasses: worn}}\n"
        rule = "never: {glasses: off}, between: [{act: open}, {act: close}]"
        whole = f"{on}  - {{open: housing}}\n  - {{close: housing}}\n{off}"
        assert house(whole, rule) == []
        assert house(f"{on}  - {{open: housing}}\n{off}  - {{close: housing}}\n", rule) == ["off"]
        assert house("  - {open: housing}\n  - {close: housing}\n", rule) == ["open-housing"]

    def test_what_the_scope_begins_with_is_not_in_it_what_it_ends_with_is(self):
        rule = "never: {act: open}, between: [{act: open}, {act: close}]"
        assert house("  - {open: housing}\n  - {close: housing}\n", rule) == []
        assert house("  - {open: housing}\n  - {open: pump}\n", rule) == ["open-pump"]
        ends = "never: {act: close}, between: [{act: open}, {act: close}]"
        assert house("  - {open: housing}\n  - {close: housing}\n", ends) == ["close-housing"]


class TestMatchers:
    @pytest.mark.parametrize(
        ("matcher", "steps"),
        [
            ("{act: isolate, tag: V1}", ["isolate-inlet_valve"]),
            ("{act: isolate, part: [inlet_valve, X1]}", ["isolate-inlet_valve", "isolate-plug"]),
            ("{act: isolate, device: plug}", ["isolate-plug"]),
            ("{role: isolator}", ["isolate-inlet_valve", "isolate-plug"]),
            ("{carries: fluid}", ["isolate-inlet_valve", "open-pump", "vent-drain"]),
            ("{act: open, carries: electricity}", ["open-pump"]),
            ("{carries: mains}", ["isolate-plug", "open-pump"]),
            ("{lock: cover}", ["isolate-plug"]),
            ("{act: verify_zero}", []),
        ],
    )
    def test_it_fits(self, matcher, steps):
        acts = "  - isolate: inlet_valve\n  - isolate: plug\n  - vent: drain\n  - open: pump\n"
        assert sorted(filter(None, house(acts, f"never: {matcher}"))) == steps

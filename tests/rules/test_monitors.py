"""Air, loose parts, things left out, testers, pumps, in every order: small procedures on the example unit."""

from __future__ import annotations

import pytest

from tests.rules import example
from tests.rules.house.small import check

CUT = "  - stop: pump\n  - {isolate: inlet_valve, lock: inlet_valve}\n"
FILL = "  - unlock: inlet_valve\n  - throttle: inlet_valve\n"
DRAIN = "  - {vent: drain, id: out}\n  - {shut: drain, id: in}\n"
PURGE = "  - {vent: drain, id: out-2}\n  - bleed: housing\n  - {shut: drain, id: in-2}\n"
FULL = "  - restore: inlet_valve\n"
ZERO = "  - {verify_zero: housing, otherwise: {end_here: Stop.}}\n"


def told(rule, steps, *, unit=(), more=""):
    """The steps at which a rule is broken; None at the end. A case that cannot be resolved fails the test."""
    text = example.clean()["unit.yaml"]
    for old, new in unit:
        assert text.count(old) == 1
        text = text.replace(old, new)
    found = check(steps, "", more, {"unit.yaml": text})
    assert not [
        f.message
        for f in found
        if f.rule.startswith("file/") or f.rule in {"graph/unknown-name", "graph/duplicate-id"}
    ]
    return [f.step for f in found if f.rule == rule]


class TestNotBled:
    RULE = "leak/not-bled"

    def test_drained_and_refilled(self):
        assert told(self.RULE, CUT + DRAIN + FILL + FULL) == ["restore-inlet_valve"]
        assert told(self.RULE, CUT + DRAIN + FILL + PURGE + FULL) == []

    def test_a_vent_under_feed_lets_no_air_in(self):
        assert told(self.RULE, DRAIN) == []
        assert told(self.RULE, "  - throttle: inlet_valve\n" + DRAIN + FULL) == []

    def test_a_vent_that_stands_open_when_the_feed_is_cut(self):
        assert told(self.RULE, "  - {vent: drain, id: out}\n" + CUT + "  - shut: drain\n" + FILL + FULL)

    def test_cut_and_filled_without_a_way_out(self):
        assert told(self.RULE, CUT + FILL + FULL) == []

    def test_air_that_comes_in_after_it_was_bled(self):
        again = (
            "  - {isolate: inlet_valve, id: cut-2}\n  - {vent: drain, id: o-3}\n  - {shut: drain, id: i-3}\n"
        )
        assert told(self.RULE, CUT + DRAIN + FILL + PURGE + again + FULL) == ["restore-inlet_valve"]

    def test_bleeding_that_need_not_come_first(self):
        free = PURGE.replace("bleed: housing", "{bleed: housing, id: b, after: []}")
        assert told(self.RULE, CUT + DRAIN + FILL + free + FULL) == ["restore-inlet_valve"]

    def test_where_nothing_throttles_it_is_let_out_by_the_end(self):
        unit = [(", throttles: true", "")]
        fill = "  - unlock: inlet_valve\n" + FULL
        assert told(self.RULE, CUT + DRAIN + fill, unit=unit) == ["restore-inlet_valve"]

    def test_left_part_open_with_air_in_it(self):
        assert told(self.RULE, CUT + DRAIN + FILL) == [None]

    def test_left_drained(self):
        assert told(self.RULE, CUT + DRAIN) == []

    def test_found_drained(self):
        starts = "starts: {inlet_valve: closed, drain: open}\n"
        assert told(self.RULE, "  - shut: drain\n" + FULL + starts) == ["restore-inlet_valve"]

    def test_what_was_opened_is_told_by_the_proof(self):
        opened = CUT + "  - {vent: drain, id: out}\n" + ZERO + "  - open: housing\n  - close: housing\n"
        steps = opened + "  - {shut: drain, id: in}\n" + FILL + FULL
        assert told("leak/full-before-bleed", steps) == ["restore-inlet_valve"]
        assert told(self.RULE, steps) == []

    def test_a_part_that_traps_no_air(self):
        assert told(self.RULE, CUT + DRAIN + FILL + FULL, unit=[(", traps_air: true", "")]) == []


class TestBledShut:
    RULE = "leak/bled-shut"

    @pytest.mark.parametrize(
        ("purge", "broken"),
        [
            (PURGE, []),
            ("  - bleed: housing\n", ["bleed-housing"]),
            ("  - bleed: housing\n" + DRAIN, ["bleed-housing"]),
            (DRAIN + "  - bleed: housing\n", ["bleed-housing"]),
            ("  - {vent: drain, bleed: housing, id: b}\n  - shut: drain\n", []),
        ],
    )
    def test_a_way_out_stands_open(self, purge, broken):
        assert told(self.RULE, FILL.replace("  - unlock: inlet_valve\n", "") + purge + FULL) == broken

    FAR = (
        ("parts:\n", "parts:\n  insert: {role: restriction, name: cartridge}\n"),
        ("path: [housing, drain]", "path: [housing, insert, drain]"),
    )

    def test_a_vent_behind_a_cartridge_is_none(self):
        steps = "  - throttle: inlet_valve\n" + PURGE + FULL
        assert told(self.RULE, steps, unit=self.FAR) == ["bleed-housing"]

    @pytest.mark.parametrize(("before", "broken"), [("", []), ("  - isolate: cock\n", ["bleed-housing"])])
    def test_a_vent_behind_a_shut_valve_is_none(self, before, broken):
        unit = [
            ("parts:\n", "parts:\n  cock: {role: isolator, device: valve, name: cock, tag: V9}\n"),
            ("path: [housing, drain]", "path: [housing, cock, drain]"),
        ]
        assert told(self.RULE, "  - throttle: inlet_valve\n" + before + PURGE + FULL, unit=unit) == broken

    def test_the_vent_is_named(self):
        (found,) = [f for f in check("  - bleed: housing\n") if f.rule == self.RULE]
        assert found.help == "Open the drain valve V2 before this step and shut it after."


class TestClosedLoose:
    RULE = "energy/closed-loose"
    TIGHT = (("name: pump, ", "name: pump, tighten: hand-tight, "),)
    DEAD = "  - stop: pump\n  - {isolate: plug, lock: plug}\n  - open: pump\n"
    BACK = "  - unlock: plug\n  - restore: plug\n"

    @pytest.mark.parametrize(
        ("end", "broken"),
        [
            ("  - close: pump\n  - tighten: pump\n" + BACK, []),
            ("  - close: pump\n" + BACK + "  - tighten: pump\n", ["restore-plug"]),
            ("  - close: pump\n" + BACK, ["restore-plug"]),
            ("  - tighten: pump\n  - close: pump\n" + BACK, ["restore-plug"]),
            ("  - close: pump\n", [None]),
            ("", []),
        ],
    )
    def test_tight_before_energy_comes_back(self, end, broken):
        assert told(self.RULE, self.DEAD + end, unit=self.TIGHT) == broken

    def test_loosened_without_being_opened(self):
        steps = "  - loosen: pump\n"
        assert told(self.RULE, steps, unit=self.TIGHT) == [None]
        assert told(self.RULE, steps + "  - tighten: pump\n", unit=self.TIGHT) == []

    def test_a_part_that_names_no_torque(self):
        assert told(self.RULE, self.DEAD + "  - close: pump\n" + self.BACK) == []

    def test_a_joint_that_a_fluid_comes_to_is_told_by_the_proof(self):
        steps = CUT + "  - {vent: drain, id: out}\n" + ZERO + "  - open: housing\n  - close: housing\n" + FILL
        assert told("leak/not-tightened", steps) == ["throttle-inlet_valve"]
        assert told(self.RULE, steps) == []


class TestRemovedNotFitted:
    RULE = "graph/removed-not-fitted"
    OUT = (
        CUT
        + "  - {vent: drain, id: out}\n"
        + ZERO
        + "  - open: housing\n  - {do: Out., id: take, remove: cartridge}\n"
    )
    NEW = "  - {do: In., fit: cartridge}\n"

    @pytest.mark.parametrize(
        ("end", "broken"),
        [
            ("  - close: housing\n", True),
            (NEW + "  - close: housing\n", False),
            ("  - {do: In., fit: {part: housing, what: cartridge}}\n  - close: housing\n", False),
            ("  - {check: In., fit: cartridge, otherwise: {continue: true}}\n  - close: housing\n", True),
            ("  - close: housing\n  - {open: housing, id: o-2}\n", False),
            (
                "  - {check: Clean., id: c, otherwise: {steps: [{close: housing}], end_here: Call.}}\n"
                + NEW
                + "  - {close: housing, id: shut}\n",
                False,
            ),
        ],
    )
    def test_it_goes_back_in_before_the_part_is_closed(self, end, broken):
        assert bool(told(self.RULE, self.OUT + end)) is broken


class TestTester:
    RULE = "energy/tester-unproved"
    DEAD = "  - stop: pump\n  - {isolate: plug, lock: plug}\n"
    LIVE = "  - {{check: It works., id: t-{0}, prove_tester: tester, otherwise: {{end_here: Stop.}}}}\n"
    READ = "  - {{verify_zero: {{part: pump, by: tester}}, id: z-{0}, otherwise: {{end_here: Stop.}}}}\n"

    def round(self, n, *, before=True):
        live = self.LIVE.format(n) if before else ""
        return live + self.READ.format(n) + self.LIVE.format(n + 10)

    def test_two_measurements_side_by_side(self):
        assert told(self.RULE, self.DEAD + self.round(1) + self.round(2, before=False)) == []

    @pytest.mark.parametrize(
        "between",
        [
            "  - open: pump\n  - close: pump\n",
            "  - unlock: plug\n  - restore: plug\n  - {isolate: plug, lock: plug, id: cut-2}\n",
        ],
    )
    def test_a_proof_is_not_carried_over(self, between):
        first = self.DEAD + self.round(1) + between
        assert told(self.RULE, first + self.round(2, before=False)) == ["z-2"]
        assert told(self.RULE, first + self.round(2)) == []


class TestPumpFirst:
    RULE = "energy/order-of-control"
    REST = "  - {isolate: plug, lock: plug}\n  - {vent: drain, id: out}\n" + ZERO + "  - open: housing\n"
    VALVE = "  - {isolate: inlet_valve, lock: inlet_valve}\n"

    def test_the_inlet_is_shut_before_the_pump_stops(self):
        """29 CFR 1910.147(d)(2) before (d)(3)."""
        assert told(self.RULE, "  - stop: pump\n" + self.VALVE + self.REST) == []
        assert told(self.RULE, self.VALVE + "  - stop: pump\n" + self.REST) == ["stop-pump"]

    def test_a_machine_on_another_line_may_run(self):
        unit = [
            ("path: [supply, inlet_valve, pump, housing, tap]", "path: [supply, inlet_valve, housing, tap]")
        ]
        bare = [("near: [pump], ", "")]
        assert told(self.RULE, self.VALVE + "  - stop: pump\n" + self.REST, unit=unit + bare) == []

    ROOM = (
        (
            "parts:\n",
            "parts:\n  mesh: {role: restriction}\n  low: {role: component}\n  cock: {role: vent}\n",
        ),
        (
            "path: [supply, inlet_valve, pump, housing, tap]",
            "path: [supply, inlet_valve, low, mesh, housing, tap]",
        ),
        ("lines:\n", "lines:\n  low_drain: {energy: water, path: [low, cock]}\n"),
    )

    def test_a_room_beside_what_is_opened_is_let_out_before_the_valve_is_shut(self):
        early = "  - stop: pump\n  - {vent: cock, id: early}\n" + self.VALVE + self.REST
        assert set(told(self.RULE, early, unit=self.ROOM)) == {"isolate-inlet_valve"}
        late = (
            "  - stop: pump\n"
            + self.VALVE
            + self.REST.replace("  - open", "  - {vent: cock, id: late}\n  - open")
        )
        assert told(self.RULE, late, unit=self.ROOM) == []


class TestChargedAgain:
    """29 CFR 1910.147(d)(5)(ii): verifying goes on while stored energy may come back."""

    RULE = "energy/order-of-control"
    OUT = (
        "  - {{vent: air_valve, id: out{0}}}\n"
        "  - {{verify_zero: tank, id: zero{0}, otherwise: {{end_here: Stop.}}}}\n"
    )
    IN = "  - {dose: {part: tank, energy: air}, id: pump}\n"
    SHUT = "  - {shut: air_valve, id: in}\n"
    OPEN = "  - open: tank\n"

    @staticmethod
    def unit(*, keeps=""):
        tank = (
            f"  tank: {{role: store, name: tank, near: []{keeps}}}\n"
            "  air_valve: {role: vent, name: air valve}\n"
            "  other: {role: vent, name: other valve}\n"
            "  air_gauge: {role: gauge, name: air gauge, at: tank, energy: air}\n"
        )
        lines = (
            "  charge: {energy: air, path: [tank, air_valve]}\n  spare: {energy: air, path: [tank, other]}\n"
        )
        return [
            ("energies:\n", "energies:\n  air: {form: gas_pressure}\n"),
            ("parts:\n", f"parts:\n{tank}"),
            ("lines:\n", f"lines:\n{lines}"),
        ]

    def told(self, *steps, **more):
        return told(self.RULE, "".join(steps), unit=self.unit(**more))

    def test_what_is_pumped_up_again_is_let_out_again(self):
        again = self.OUT.format("-2")
        assert self.told(self.OUT.format(""), self.SHUT, self.IN, again, self.OPEN) == []
        assert self.told(self.OUT.format(""), self.IN, self.SHUT, again, self.OPEN) == []

    def test_a_reading_ends_with_the_last_way_out(self):
        assert self.told(self.OUT.format(""), self.SHUT, self.OUT.format("-2"), self.OPEN) == []
        late = "  - {vent: other, id: late}\n"
        assert self.told(self.OUT.format(""), late, self.OPEN) == ["late"]
        assert self.told(self.OUT.format(""), self.SHUT, late, self.OPEN) == []

    def test_what_is_pumped_in_leaves_at_once_where_a_vent_stands_open(self):
        late = "  - {vent: other, id: late}\n"
        assert self.told(self.OUT.format(""), self.IN, late, self.OPEN) == ["late"]

    def test_what_a_part_keeps_is_in_it_again_whatever_stands_open(self):
        first = "  - discharge: tank\n" + self.OUT.format("")
        late, keeps = "  - {vent: other, id: late}\n", ", keeps: [air]"
        assert self.told(first, late, self.OPEN, keeps=keeps) == ["late"]
        assert self.told(first, self.IN, late, self.OPEN, keeps=keeps) == []


class TestIsolatedUnlocked:
    RULE = "energy/isolated-unlocked"
    OUT = "  - stop: pump\n  - {isolate: inlet_valve, lock: inlet_valve}\n  - {vent: drain, id: out}\n" + ZERO
    BARE = (("near: [pump], ", ""),)

    @pytest.mark.parametrize(
        ("plug", "broken"),
        [
            ("  - isolate: plug\n", ["open-housing"]),
            ("  - {isolate: plug, lock: plug}\n", []),
            ("  - {isolate: plug, lock: plug}\n  - unlock: plug\n", ["open-housing"]),
            ("  - isolate: plug\n  - restore: plug\n", []),
            ("", []),
        ],
    )
    def test_what_is_shut_off_is_locked(self, plug, broken):
        """29 CFR 1910.147(d)(4)(i)."""
        assert told(self.RULE, self.OUT + plug + "  - open: housing\n", unit=self.BARE) == broken

    @pytest.mark.parametrize(
        ("old", "new"),
        [
            ("lock: cover", "lock: none"),
            ("lock: cover", "lock: cover, exclusive_control: true"),
            ("family: EX", "family: EX\nlockout: exclusive_control"),
        ],
    )
    def test_where_no_lock_is_asked_for(self, old, new):
        steps = self.OUT + "  - isolate: plug\n  - open: housing\n"
        assert told(self.RULE, steps, unit=(*self.BARE, (old, new))) == []

    def test_what_the_proof_tells_of_the_same_part_is_not_told_twice(self):
        steps = self.OUT.replace(", lock: inlet_valve", "") + "  - open: housing\n"
        assert told("energy/opened-unlocked", steps, unit=self.BARE) == ["open-housing"]
        assert told(self.RULE, steps, unit=self.BARE) == []


class TestStoreJoined:
    RULE = "energy/store-joined"
    TANK = (
        (
            "parts:\n",
            """parts:
  check: {role: check_valve}
  tank: {role: store, near: []}
  cock: {role: vent}
  neck: {role: isolator, device: valve}
""",
        ),
        (
            "lines:\n",
            """lines:
  branch: {energy: water, path: [housing, check, neck, tank]}
  out: {energy: water, path: [tank, cock]}
""",
        ),
    )
    READY = (
        "  - stop: pump\n  - {isolate: [inlet_valve, plug], lock: [inlet_valve, plug]}\n  - vent: drain\n"
        + ZERO
    )

    @pytest.mark.parametrize(
        ("tank", "broken"),
        [
            ("", True),
            ("  - {isolate: neck, lock: neck}\n", False),
            ("  - {isolate: neck, lock: neck}\n  - unlock: neck\n  - restore: neck\n", True),
            ("  - vent: cock\n", False),
            ("  - vent: cock\n  - shut: cock\n", True),
        ],
    )
    def test_a_tank_behind_a_check_valve(self, tank, broken):
        steps = self.READY + tank + "  - open: housing\n"
        assert told(self.RULE, steps, unit=self.TANK) == (["open-housing"] if broken else [])

    def test_what_the_tank_keeps_is_discharged(self):
        kept = (self.TANK[0][0], self.TANK[0][1].replace("store, ", "store, keeps: [water], "))
        steps = self.READY + "  - discharge: tank\n  - open: housing\n"
        assert told(self.RULE, steps, unit=(kept, self.TANK[1])) == []


class TestClosedUnopened:
    RULE = "graph/closed-unopened"

    @pytest.mark.parametrize(
        ("steps", "broken"),
        [
            ("  - open: pump\n  - close: pump\n", []),
            ("  - close: pump\n", ["close-pump"]),
            ("  - open: pump\n  - close: pump\n  - {close: pump, id: again}\n", ["again"]),
            ("  - {open: pump, id: o}\n  - {close: pump, after: []}\n", ["close-pump"]),
            ("  - close: pump\nstarts: {pump: open}\n", []),
        ],
    )
    def test_it_stands_open(self, steps, broken):
        assert told(self.RULE, steps) == broken


class TestIdleCheck:
    RULE = "graph/idle-check"

    @pytest.mark.parametrize(
        ("said", "idle"),
        [
            ("otherwise: {continue: true}", True),
            ("otherwise: {end_here: Stop.}", False),
            ("otherwise: {steps: [{do: Wipe the floor.}], continue: true}", False),
            ("makes: {glasses: worn}, otherwise: {continue: true}", False),
            ("leak_check: housing, otherwise: {continue: true}", False),
        ],
    )
    def test_something_hangs_on_it(self, said, idle):
        assert told(self.RULE, f"  - {{check: It is dry., id: dry, {said}}}\n") == (["dry"] if idle else [])

    def test_a_reading_is_written_down(self):
        assert told(self.RULE, "  - {read: gauge, otherwise: {continue: true}}\n") == []

"""What profiles ask of every order: the order of control, who is told, testers proved, plugs in sight."""

from __future__ import annotations

import pytest

from proctool.api import Library
from proctool.prove import replay
from tests.rules import example
from tests.rules.house.small import HEAD, check, of

STOPPED = "  - {do: Tell them., id: tell-1, tell: crew}\n  - stop: pump\n  - {isolate: plug, lock: plug}\n"


class TestProfiles:
    """29 CFR 1910.147, NFPA 70E 120.5 (2018), Regulation (EU) 2023/1230 Annex III 1.6.3."""

    @pytest.mark.parametrize(
        ("order", "broken"),
        [
            (["unlock", "tell", "start"], False),
            (["unlock", "start", "tell"], True),
            (["unlock", "restore", "tell", "start"], False),
        ],
    )
    def test_people_are_told_between_unlocking_and_starting(self, order, broken):
        """1910.147(e)(2)(ii)."""
        said = {
            "unlock": "{unlock: plug}",
            "restore": "{restore: plug}",
            "tell": "{do: Tell., id: tell-2, tell: crew}",
            "start": "{start: pump}",
        }
        found = check(STOPPED + "".join(f"  - {said[name]}\n" for name in order))
        assert of(found, "energy/start-untold") == ([("energy/start-untold", "start-pump")] if broken else [])

    RELIEVED_FIRST = (
        STOPPED
        + "  - {isolate: inlet_valve}\n  - {vent: drain}\n  - {lock: inlet_valve}\n"
        + "  - {verify_zero: housing, otherwise: {end_here: Stop.}}\n  - {open: housing}\n"
    )

    @pytest.mark.parametrize(
        ("profile", "broken"),
        [
            ("us_general_industry", True),
            ("us_electrical", False),
            ("eu_machinery", True),
            ("household", False),
        ],
    )
    def test_stored_energy_is_relieved_before_the_lock(self, profile, broken):
        found = of(check(self.RELIEVED_FIRST, "", f"profile: {profile}\n"), "energy/order-of-control")
        assert found == ([("energy/order-of-control", "lock-inlet_valve")] if broken else [])

    def test_without_a_profile_it_is_general_industry(self):
        assert of(check(self.RELIEVED_FIRST), "energy/order-of-control")

    def test_the_lock_after_zero_was_verified(self):
        steps = self.RELIEVED_FIRST.replace("  - {lock: inlet_valve}\n", "").replace(
            "  - {open", "  - {lock: inlet_valve}\n  - {open"
        )
        for profile in ("us_general_industry", "us_electrical"):
            (found,) = [
                f for f in check(steps, "", f"profile: {profile}\n") if f.rule == "energy/order-of-control"
            ]
            assert found.step == "lock-inlet_valve" and found.energies == ("water",)

    def test_in_every_order(self):
        """The lock is free beside the vent: some order has it too late."""
        steps = (
            STOPPED + "  - {isolate: inlet_valve, id: cut}\n  - {vent: drain, id: out}\n"
            "  - {lock: inlet_valve, id: on, after: [cut]}\n"
            "  - {verify_zero: housing, after: [out, on], otherwise: {end_here: Stop.}}\n"
            "  - {open: housing}\n"
        )
        (found,) = [f for f in check(steps) if f.rule == "energy/order-of-control"]
        assert [move.step for move in found.trace][-2:] == ["out", "on"]

    def test_purging_and_going_back_is_no_lapse(self):
        assert not of(list(example.check(example.clean()).findings), "energy/")

    PLUGGED = "  - {stop: pump}\n  - {isolate: plug}\n  - {open: pump}\n"

    @pytest.mark.parametrize(
        ("profile", "more", "steps", "broken"),
        [
            ("eu_machinery", "", PLUGGED, True),
            ("eu_machinery", ", in_sight: true", PLUGGED, False),
            ("eu_machinery", "", PLUGGED.replace("isolate: plug", "isolate: plug, lock: plug"), False),
            ("us_general_industry", "", PLUGGED, False),
        ],
    )
    def test_a_plug_out_of_sight_is_locked(self, profile, more, steps, broken):
        """A claim of exclusive control is no answer to it."""
        unit = example.clean()["unit.yaml"].replace(
            "lock: cover}", f"lock: cover, exclusive_control: true{more}}}"
        )
        found = check(steps, "", f"profile: {profile}\n", {"unit.yaml": unit})
        assert of(found, "energy/order-of-control") == (
            [("energy/order-of-control", "open-pump")] if broken else []
        )

    def test_no_one_is_told_where_no_lockout_is_required(self):
        unit = example.clean()["unit.yaml"].replace("family: EX", "family: EX\nlockout: exclusive_control")
        steps = "  - stop: pump\n  - isolate: plug\n  - restore: plug\n"
        assert of(check(steps), "energy/people-untold")
        assert not of(check(steps, files={"unit.yaml": unit}), "energy/people-untold")

    def test_told_again_after_a_start(self):
        again = STOPPED + "  - unlock: plug\n  - restore: plug\n  - {do: Tell., id: tell-2, tell: crew}\n"
        again += "  - start: pump\n  - {stop: pump, id: stop-2}\n  - {isolate: plug, id: cut-2}\n"
        assert ("energy/people-untold", "cut-2") in of(check(again), "energy/people-untold")

    def test_a_profile_of_the_library_says_otherwise(self):
        own = (
            "profile: ours\nbased_on: us_electrical\norder_of_control: [isolate, verify, work]\nsequences:\n"
            "  - {rule: energy/start-untold, say: Ring the bell., never: {act: start}, "
            "between: [{act: restore}, {act: tell}]}\n"
        )
        files = {"ours.yaml": own}
        assert not of(check(self.RELIEVED_FIRST, "", "profile: ours\n", files), "energy/order-of-control")
        steps = (
            STOPPED
            + "  - unlock: plug\n  - {do: Tell., id: t, tell: crew}\n  - restore: plug\n  - start: pump\n"
        )
        found = check(steps, "", "profile: ours\n", files)
        assert of(found, "energy/start-untold") == [("energy/start-untold", "start-pump")]

    @pytest.mark.parametrize(
        ("said", "rule"),
        [
            ("order_of_control: [isolate, lok]\n", "file/schema"),
            ("order_of_control: [isolate, [lock, isolate]]\n", "graph/duplicate-id"),
            ("sequences: [{rule: energy/untold, say: A., never: {act: open}}]\n", "graph/unknown-name"),
            (
                "sequences: [{rule: energy/start-untold, say: A., never: {act: open, part: x9}}]\n",
                "graph/unknown-name",
            ),
        ],
    )
    def test_a_bad_profile(self, said, rule):
        found = check("  - stop: pump\n", "", "profile: ours\n", {"ours.yaml": f"profile: ours\n{said}"})
        assert rule in {f.rule for f in found if f.file == "ours.yaml"}


class TestTraces:
    def test_every_trace_can_be_replayed(self):
        texts = {**example.clean(), "procedure.yaml": HEAD + TestProfiles.RELIEVED_FIRST}
        case = next(iter(Library.from_texts(texts).cases()))
        assert case.plan is not None
        traced = [f for f in case.findings if f.trace]
        assert {"energy/order-of-control", "energy/people-untold"} & {f.rule for f in traced}
        for found in traced:
            assert len(replay(case.plan, found.trace).snapshots) == len(found.trace) == len(found.told)

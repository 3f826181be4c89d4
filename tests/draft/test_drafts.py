"""Drafts for every unit of the demo library and every part: safe, or refused with a reason.

A refusal is held against brute force over every set of isolators; the order of a draft against 29 CFR
1910.147(d), read off its steps; the whole against the library's own check with the draft in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from proctool.api import Drafted, DraftOrder, Library, draft, open_library
from proctool.model.document import Kind
from proctool.model.finding import Level
from proctool.model.plan import Plan
from proctool.model.unit import Part, Unit
from proctool.model.words import HOLDERS, Role
from tests.draft.openable import Openable

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "procedures"
OF_PEOPLE = {"content/no-due", "content/no-revision", "content/no-time"}
"""What only a person can say."""
OF_THE_UNIT = {"unit/blind-spot"}
"""What the check says of the unit whoever opens the part."""


@cache
def library() -> Library:
    return open_library(DEMO)


@cache
def drafted(unit: str, *parts: str, blocks: bool = False, ways: int = 1) -> Drafted:
    return draft(library(), DraftOrder(unit, parts, "drafted", "drafted.yaml", ways, blocks))


def units() -> list[Any]:
    """Every unit; one worker does all tests of one, since drafts are kept."""
    names = sorted(library().units.whole)
    return [pytest.param(name, marks=pytest.mark.xdist_group(f"drafts of {name}")) for name in names]


def openable(unit: Unit) -> Iterator[Part]:
    """Parts on a line, or gauges that read one, sources left out."""
    on_lines = {name for line in unit.lines.values() for name in line.path}
    for part in unit.parts.values():
        if part.role is not Role.SOURCE and (part.id in on_lines or part.at in unit.parts):
            yield part


@pytest.mark.parametrize("unit", units())
def test_every_part_is_drafted_safe_or_refused_with_a_reason_that_brute_force_confirms(unit: str) -> None:
    model = library().units.whole[unit]
    brute = Openable(model)
    done = {part.id: drafted(unit, part.id) for part in openable(model)}
    assert done
    for part, found in done.items():
        assert bool(found.proposals) is brute.at_all(part), part
        assert bool(found.proposals) is not bool(found.lacks), part
        assert found.unsafe is None, part


@pytest.mark.parametrize("unit", units())
def test_only_a_person_has_something_left_to_say(unit: str) -> None:
    for part in openable(library().units.whole[unit]):
        for proposal in drafted(unit, part.id).proposals:
            assert proposal.check.passed
            assert {f.rule for f in proposal.check.findings} - OF_THE_UNIT == OF_PEOPLE, part.id


PHASE = {"stop": 2, "isolate": 3, "lock": 3, "vent": 5, "discharge": 5, "try_start": 6, "verify_zero": 6}
"""The paragraph of 1910.147(d) that an act is of; work comes after (d)(6)."""


@pytest.mark.parametrize("unit", units())
def test_the_order_follows_1910_147_d(unit: str) -> None:
    for part in openable(library().units.whole[unit]):
        for proposal in drafted(unit, part.id).proposals:
            phases = [
                PHASE[act.verb]
                for act in acts(plan_of(proposal.text, unit), "make-safe")
                if act.verb in PHASE
            ]
            assert phases == sorted(phases), part.id


@pytest.mark.parametrize("unit", units())
def test_every_isolator_is_locked_by_itself_and_comes_back(unit: str) -> None:
    for part in openable(library().units.whole[unit]):
        for proposal in drafted(unit, part.id).proposals:
            plan = plan_of(proposal.text, unit)
            off = [act.part for act in acts(plan, "make-safe") if act.verb == "isolate"]
            back = [(act.verb, act.part) for act in acts(plan, "return-to-service")]
            assert [act.part for act in acts(plan, "make-safe") if act.verb == "lock"] == off
            assert {name for verb, name in back if verb == "unlock"} == set(off)
            assert {name for verb, name in back if verb == "restore"} == set(off)


@cache
def plan_of(text: str, unit: str) -> Plan:
    shared = {d.file for d in library().documents if d.kind is not Kind.PROCEDURE}
    files = {file: data for file, data in library().files.items() if file in shared}
    files["drafted.yaml"] = text.encode()
    (case,) = Library(files, root=DEMO).cases(procedure="drafted", unit=unit)
    assert case.plan is not None
    return case.plan


def acts(plan: Plan, group: str):
    return [act for step in plan.frame.steps if step.id.startswith(f"{group}/") for act in step.acts]


def test_a_draft_passes_the_check_of_the_whole_library() -> None:
    (proposal,) = drafted("KW-6", "second").proposals
    whole = Library({**library().files, "drafted.yaml": proposal.text.encode()}, root=DEMO).check()
    assert whole.passed
    assert {f.rule for f in whole.findings} == OF_PEOPLE
    assert all(f.level is Level.WARNING for f in whole.findings)


def test_several_parts_are_opened_together() -> None:
    parts = ("first", "first_insert", "second", "second_insert")
    (proposal,) = drafted("KW-4", *parts).proposals
    work = [(act.verb, act.part) for act in acts(plan_of(proposal.text, "KW-4"), "work")]
    assert [part for verb, part in work if verb == "open"] == list(parts)
    assert [part for verb, part in work if verb == "close"] == list(reversed(parts))


def test_each_device_says_why_it_is_there() -> None:
    text = drafted("KW-6", "first").proposals[0].text
    assert "# Water: the town main reaches the sediment housing through V1." in text
    assert "# Water: the well reaches the sediment housing through V6." in text
    assert "# Mains: the power panel reaches the booster pump M1 through Q1." in text
    assert (
        "# V4 lets the water out of the sediment housing: nothing that may stick or block lies between."
        in text
    )
    assert "# P1 reads the water at the sediment housing." in text
    assert "# Meanwhile without mains: booster pump M1." in text


def test_what_the_unit_lacks_is_said() -> None:
    assert drafted("KW-4", "motor").lacks == (
        "Nothing shows that mains is zero at the booster pump M1: no gauge, no tester and no vent sees it.",
    )
    assert drafted("KW-2", "inlet_valve").lacks == (
        "No isolator stands between the water main and the inlet valve V1 (water).",
    )


def test_a_hot_vent_has_its_heat_cut_off_first() -> None:
    text = drafted("HX-5", "warm_gauge").proposals[0].text
    assert text.index("- wait: 75 min") < text.index("- vent: warm_drain")


def test_a_machine_that_would_run_dry_is_stopped() -> None:
    text = drafted("KW-4", "strainer_drain").proposals[0].text
    assert "# The booster pump M1 would run dry.\n      - stop: motor" in text
    assert "pump_plug" not in text


def test_blocks_of_the_library_are_used_where_they_prove_safe() -> None:
    (proposal,) = drafted("KW-6", "second", blocks=True).proposals
    assert "- use: make-safe\n" in proposal.text and "- use: return-to-service\n" in proposal.text
    assert "isolate" not in proposal.text
    assert {f.rule for f in proposal.check.findings} == OF_PEOPLE


def test_blocks_that_do_not_prove_safe_are_told_with_what_is_wrong() -> None:
    found = drafted("KW-4", "first_insert", blocks=True)
    assert not found.proposals and not found.lacks
    assert found.unsafe is not None and not found.unsafe.passed


class TestOtherWays:
    """A bypass: the housing is shut off near, or farther away; the near way shuts the drain off with it."""

    UNIT = """\
unit: BY-1
title: Housing with a drain beyond a valve
energies:
  water:
    form: liquid_pressure
    normal: 4 bar
    safe: 0 bar
    warning: {word: warning, hazard: Water under pressure., harm: It can injure you., avoid: Keep away.}
parts:
  main:    {role: source, name: water main}
  far:     {role: isolator, device: valve, name: main valve, tag: V1, place: x, throttles: true, lock: hasp}
  middle:  {role: component, name: inlet pipe, near: []}
  near:    {role: isolator, device: valve, name: near valve, tag: V2, place: x, lock: hasp, throttles: true}
  housing: {role: component, name: housing, near: [], tighten: 20 N·m}
  gauge:   {role: gauge, name: gauge, tag: P1, at: housing, energy: water, span: 10 bar}
  drain:   {role: vent, name: drain, tag: V3, to: bucket}
  tap:     {role: outlet, name: tap, feeds_back: false, why: ends free}
lines:
  main:  {energy: water, path: [main, far, middle, near, housing, tap]}
  drain: {energy: water, path: [DRAINED, drain]}
"""
    LIBRARY = "library: Bypasses\npeople: {fitter: fitter}\nppe: {glasses: safety glasses}\n"

    def drafted(self, drained: str, ways: int) -> Drafted:
        unit = self.UNIT.replace("DRAINED", drained)
        small = Library.from_texts({"library.yaml": self.LIBRARY, "unit.yaml": unit})
        return draft(small, DraftOrder("BY-1", ("housing",), "open-housing", "open-housing.yaml", ways))

    def test_the_least_comes_first_and_each_says_what_it_disturbs(self) -> None:
        near, far = self.drafted("housing", 3).proposals
        assert (near.isolators, near.disturbs) == ("near valve V2", ("water: tap",))
        assert (far.isolators, far.disturbs) == ("main valve V1", ("water: inlet pipe, tap",))

    def test_a_nearer_set_that_shuts_off_the_drain_is_passed_over(self) -> None:
        (only,) = self.drafted("middle", 3).proposals
        assert only.isolators == "main valve V1"
        assert "# Passed over: near valve V2. No vent surely relieves the housing of water." in only.text

    def test_the_others_are_told_at_the_end_of_the_file(self) -> None:
        found = self.drafted("housing", 2)
        assert found.text(1).endswith("# 2. main valve V1; without water: inlet pipe, tap.\n")
        assert found.text(2).endswith("# 1. near valve V2; without water: tap.\n")
        assert "- isolate: far" in found.text(2) and "- isolate: near" not in found.text(2)


def test_holders_alone_can_be_looked_at() -> None:
    """Every leak check of every draft is of a holder: the demo units have joints of all kinds."""
    for part in openable(library().units.whole["KW-4T"]):
        for proposal in drafted("KW-4T", part.id).proposals:
            plan = plan_of(proposal.text, "KW-4T")
            looked = {act.part for act in acts(plan, "return-to-service") if act.verb == "leak_check"}
            assert looked and all(plan.unit.parts[name].role in HOLDERS for name in looked), part.id

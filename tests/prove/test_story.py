"""Stories as a technician reads them: what each step changed, how the energy comes, what would mend it.

A filter between two housings with a bypass round it. Each case leaves one thing out of a safe procedure.
"""

from __future__ import annotations

import pytest

from proctool.model.finding import Finding
from proctool.model.story import Change, Story
from tests.prove.build import Case, assert_safe, case, proofs

UNIT = """\
unit: T
title: Filter with a bypass
energies:
  water: {form: liquid_pressure}
  mains: {form: electricity, isolation: double}
parts:
  supply: {role: source, name: water main}
  inlet: {role: isolator, device: valve, name: inlet valve, tag: V1, throttles: true}
  bypass: {role: isolator, device: valve, name: bypass valve, tag: V7, normal: closed}
  first: {role: component, name: sediment housing, near: [pump], seal: O-ring}
  screen: {role: restriction, name: screen}
  second: {role: component, name: carbon housing, near: [pump], traps_air: true}
  outlet: {role: isolator, device: valve, name: outlet valve, tag: V2}
  tank: {role: store, name: bladder tank, keeps: [water], near: []}
  drain1: {role: vent, name: sediment drain, tag: D1}
  drain2: {role: vent, name: carbon drain, tag: D2}
  gauge1: {role: gauge, name: sediment gauge, tag: P1, at: first, energy: water}
  gauge2: {role: gauge, name: carbon gauge, tag: P2, at: second, energy: water}
  socket: {role: source, name: wall socket}
  plug: {role: isolator, device: plug, name: pump plug, tag: X1}
  main_switch: {role: isolator, device: disconnector, name: main switch, tag: Q1}
  pump: {role: component, name: pump, runs: mains, near: []}
  tester: {role: gauge, name: voltage tester, at: any, energy: mains}
lines:
  main: {energy: water, path: [supply, inlet, first, screen, second, outlet, tank]}
  around: {energy: water, path: [supply, bypass, second]}
  out1: {energy: water, path: [first, drain1]}
  out2: {energy: water, path: [second, drain2]}
  power: {energy: mains, path: [socket, main_switch, plug, pump]}
"""
SAFE = case(
    UNIT,
    """
    stop: pump
    id: plug-out, isolate: [main_switch, plug], lock: [main_switch, plug]
    id: bypass-in, connect: bypass
    id: bypass-out, isolate: bypass, lock: bypass
    id: inlet-out, isolate: inlet, lock: inlet
    id: outlet-out, isolate: outlet, lock: outlet
    id: relieve, vent: [drain1, drain2]
    id: zero, verify_zero: {part: second, by: gauge2}
    open: second
    close: second
    id: shut, shut: [drain1, drain2]
    unlock: inlet
    throttle: inlet
    bleed: second
    restore: inlet
    leak_check: second, otherwise: {steps: [{isolate: inlet}], end_here: Call service.}
    id: outlet-in, unlock: outlet, restore: outlet
    unlock: bypass
    id: plug-in, unlock: [main_switch, plug], restore: [main_switch, plug]
    start: pump
    """,
)


def finding(damaged: Case, said: str) -> Finding:
    found = proofs(damaged.check())
    assert said in found, list(found)
    return found[said]


def story(damaged: Case, said: str) -> Story:
    told = finding(damaged, said).story
    assert told is not None
    return told


def mend(damaged: Case, said: str) -> tuple[str, str]:
    """The mend of a finding: its words, and its acts on one line."""
    told = story(damaged, said).mend
    assert told is not None
    acts = (f"{fix.verb} {fix.part}" + (f" by {fix.by}" if fix.by else "") for fix in told.acts)
    return told.text, ", ".join(acts)


def test_the_procedure_is_safe() -> None:
    assert_safe(SAFE)
    (judged,) = SAFE.library().cases()
    assert not [found for found in judged.findings if found.trace and found.story is None]
    assert not [found for found in judged.findings if found.story and found.story.mend]


def test_each_step_says_what_it_changed_and_by_which_way() -> None:
    told = story(SAFE.drop("id: bypass-out"), "energy/opened-live open-second second")
    assert [event.told for event in told.events] == [
        ("pump stopped",),
        ("pump plug X1 unplugged, locked; main switch Q1 off, locked", "pump (mains): live → zero"),
        ("bypass valve V7 open",),
        ("inlet valve V1 closed, locked",),
        ("outlet valve V2 closed, locked", "bladder tank (water): live → trapped"),
        ("sediment drain D1 open; carbon drain D2 open",),
        (),
        ("carbon housing opened, leak check owed",),
    ]
    assert [route.told for route in told.routes] == ["water: water main → bypass valve V7 → carbon housing"]
    assert told.events[4].changes == (
        Change("outlet", "closed"),
        Change("outlet", "locked"),
        Change("tank", "trapped", "live", "water"),
    )


def test_what_rises_is_told_with_the_way_it_came() -> None:
    told = story(
        SAFE.insert("connect: bypass", before="close: second"), "energy/energised-open connect-bypass second"
    )
    last = told.events[-1]
    assert last.told[0] == "bypass valve V7 open"
    assert "sediment housing, carbon housing (water): zero → live" in last.told
    assert {route.told for route in last.routes} >= {"water: water main → bypass valve V7 → carbon housing"}


def test_the_mend_is_part_of_the_help() -> None:
    found = finding(SAFE.drop("id: bypass-out"), "energy/opened-live open-second second")
    assert found.help == (
        "Isolate every source of it first; a check valve or a full cartridge is no isolator. "
        "Also isolate the bypass valve V7 before this step."
    )


MENDS = {
    "a source of two is not cut": (
        SAFE.drop("id: bypass-out"),
        "energy/opened-live open-second second",
        "Also isolate the bypass valve V7 before this step.",
        "isolate bypass",
    ),
    "no source is cut": (
        SAFE.drop("id: bypass-out").drop("id: inlet-out"),
        "energy/opened-live open-second second",
        "Also isolate the inlet valve V1 and the bypass valve V7 before this step.",
        "isolate inlet, isolate bypass",
    ),
    "power beside what is wet": (
        SAFE.drop("id: plug-out"),
        "energy/wet-near-live open-second pump",
        "Also isolate the pump plug X1 before this step.",
        "isolate plug",
    ),
    "a way out is not opened": (
        SAFE.edit("vent: [drain1, drain2]", "vent: drain1"),
        "energy/opened-charged open-second second",
        "Open the carbon drain D2 before this step.",
        "vent drain2",
    ),
    "the zero is not verified": (
        SAFE.drop("id: zero"),
        "energy/opened-unproven open-second second",
        "Verify zero of water at the carbon housing by the carbon gauge P2 before this step.",
        "verify_zero second by gauge2",
    ),
    "the way out is shut again": (
        SAFE.insert("shut: drain2", before="open: second"),
        "energy/opened-unproven open-second second",
        (
            "Open the carbon drain D2, then verify zero of water at the carbon housing by the carbon gauge "
            "P2 before this step."
        ),
        "vent drain2, verify_zero second by gauge2",
    ),
    "the gauge does not see the part": (
        SAFE.edit("by: gauge2", "by: gauge1"),
        "energy/verified-blind zero second",
        "Verify zero of water at the carbon housing by the carbon gauge P2 instead.",
        "verify_zero second by gauge2",
    ),
    "a lock is forgotten": (
        SAFE.edit("isolate: bypass, lock: bypass", "isolate: bypass"),
        "energy/opened-unlocked open-second second",
        "Lock the bypass valve V7 before this step.",
        "lock bypass",
    ),
    "a lock comes off too early": (
        SAFE.insert("unlock: inlet, id: early", before="close: second"),
        "energy/unlocked-early early inlet",
        "Keep the lock on the inlet valve V1 until the carbon housing is closed.",
        "close second",
    ),
    "water comes while it is open": (
        SAFE.insert("connect: bypass", before="close: second"),
        "energy/energised-open connect-bypass second",
        "Leave the bypass valve V7 as it is until the carbon housing is closed.",
        "close second",
    ),
    "not as deep as asked": (
        SAFE.edit(
            "isolate: [main_switch, plug], lock: [main_switch, plug]", "isolate: plug, lock: plug"
        ).insert("open: pump", before="close: second"),
        "energy/isolation-too-thin open-pump pump",
        "Also isolate the main switch Q1 before this step.",
        "isolate main_switch",
    ),
    "a leak check without pressure": (
        SAFE.drop("restore: inlet").drop("throttle: inlet"),
        "leak/checked-dry leak_check-second second",
        "Open the inlet valve V1 fully before this step.",
        "connect inlet",
    ),
    "a debt that is not paid": (
        SAFE.edit("shut: [drain1, drain2]", "shut: drain1"),
        "leak/unchecked end second",
        "Shut the carbon drain D2, then leak-check the carbon housing before the end.",
        "shut drain2, leak_check second",
    ),
    "full flow at once": (
        SAFE.drop("throttle: inlet"),
        "leak/filled-at-once restore-inlet second",
        "Open the inlet valve V1 a little before this step.",
        "throttle inlet",
    ),
    "air left in": (
        SAFE.drop("bleed: second"),
        "leak/full-before-bleed restore-inlet second",
        "Let the air out of the carbon housing before this step.",
        "bleed second",
    ),
    "a part that nothing drives": (
        SAFE.edit("restore: [main_switch, plug]", "restore: plug"),
        "energy/started-dead start-pump pump",
        "Switch on the main switch Q1 before this step.",
        "connect main_switch",
    ),
    "a device not as it was": (
        SAFE.insert("vent: drain1, id: late", before="start: pump"),
        "energy/not-restored end drain1",
        "Shut the sediment drain D1 before the end.",
        "shut drain1",
    ),
    "a need that an act would meet": (
        SAFE.edit("{open: second}", "{open: second, needs: {drain2: shut}}"),
        "graph/need-unmet open-second drain2",
        "Shut the carbon drain D2 before this step.",
        "shut drain2",
    ),
    "only discharge relieves it": (
        SAFE.insert("id: deep, open: tank", before="close: second"),
        "energy/opened-charged deep tank",
        "Discharge the bladder tank before this step.",
        "discharge tank",
    ),
    "the tank behind is not cut off": (
        SAFE.drop("id: outlet-out")
        .edit("vent: [drain1, drain2]", "vent: drain1")
        .insert("id: deep, open: screen", before="close: second"),
        "energy/opened-charged deep screen",
        "Also isolate the outlet valve V2 before this step.",
        "isolate outlet",
    ),
}


@pytest.mark.parametrize(("damaged", "said", "text", "acts"), MENDS.values(), ids=MENDS)
def test_the_mend(damaged: Case, said: str, text: str, acts: str) -> None:
    assert mend(damaged, said) == (text, acts)


NOTHING = {
    "no isolator between": (
        SAFE.edit("path: [supply, bypass, second]", "path: [supply, screen]"),
        "energy/opened-live open-second second",
        "No isolator of this unit stands between the water main and the carbon housing.",
    ),
    "no vent": (
        SAFE.edit("path: [second, drain2]", "path: [first, drain2]"),
        "energy/opened-charged open-second second",
        "No vent of this unit surely relieves the carbon housing of water.",
    ),
    "no vent as the isolators stand": (
        SAFE.edit("path: [second, drain2]", "path: [tank, drain2]"),
        "energy/opened-charged open-second second",
        "As the isolators stand, no vent surely relieves the carbon housing of water.",
    ),
    "no lock fits": (
        SAFE.edit("tag: V7, normal: closed", "tag: V7, normal: closed, lock: none").edit(
            "isolate: bypass, lock: bypass", "isolate: bypass"
        ),
        "energy/opened-unlocked open-second second",
        "No lock fits the bypass valve V7, and nothing else that is off keeps it away.",
    ),
    "no second isolator": (
        SAFE.edit("[socket, main_switch, plug, pump]", "[socket, plug, pump]").insert(
            "open: pump", before="close: second"
        ),
        "energy/isolation-too-thin open-pump pump",
        "This unit has no two isolators between the wall socket and the pump.",
    ),
    "no condition": (
        SAFE.edit("{open: second}", "{open: second, needs: {crew: told}}").edit(
            "steps:\n  - {stop", "conditions: {crew: [unaware, told]}\nsteps:\n  - {stop"
        ),
        "graph/need-unmet open-second crew",
        "Before this step `crew` must be `told`, but no step makes it so.",
    ),
}


@pytest.mark.parametrize(("damaged", "said", "text"), NOTHING.values(), ids=NOTHING)
def test_what_the_unit_has_not_is_said(damaged: Case, said: str, text: str) -> None:
    assert mend(damaged, said) == (text, "")


def test_an_energy_that_a_part_holds_itself_has_no_way() -> None:
    told = story(
        SAFE.edit("vent: [drain1, drain2]", "vent: drain1"), "energy/opened-charged open-second second"
    )
    assert [(route.parts, route.told) for route in told.routes] == [
        (("second",), "water: trapped in the carbon housing")
    ]


def test_what_is_trapped_elsewhere_comes_from_there() -> None:
    damaged = SAFE.drop("id: outlet-out").insert("id: deep, open: screen", before="close: second")
    told = story(damaged, "energy/opened-charged deep screen")
    assert [route.told for route in told.routes] == [
        "water: bladder tank → outlet valve V2 → carbon housing → screen"
    ]


def test_a_missing_lock_shows_the_way_it_leaves_open() -> None:
    damaged = SAFE.edit("isolate: bypass, lock: bypass", "isolate: bypass")
    told = story(damaged, "energy/opened-unlocked open-second second")
    assert [route.told for route in told.routes] == ["water: water main → bypass valve V7 → carbon housing"]

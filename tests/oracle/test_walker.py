"""The oracle itself, held against cases worked by hand.

``RIG`` is the smallest plant: a main, a valve, a body with a relief vent and a gauge.  ``SAFE`` opens and
closes the body on it without fault; most cases are ``SAFE`` with one thing changed.
"""

from __future__ import annotations

import math
from copy import deepcopy
from typing import Any

import pytest

from .course import Course
from .plant import Plant
from .walker import Finding, count_orders, count_walks, walk

PARTS: dict[str, dict[str, Any]] = {
    "main": {"role": "source"},
    "valve": {"role": "isolator", "device": "valve"},
    "body": {"role": "component"},
    "vent": {"role": "vent"},
    "gauge": {"role": "gauge", "at": "body", "energy": "water"},
}
POWER: dict[str, dict[str, Any]] = {
    "socket": {"role": "source"},
    "plug": {"role": "isolator", "device": "plug"},
    "motor": {"role": "component"},
}
SAFE = (
    "isolate valve; lock valve; vent vent; verify_zero body gauge; open body; close body; shut vent; "
    "unlock valve; connect valve; leak_check body"
)
OPENED = "isolate valve; lock valve; vent vent; verify_zero body gauge; open body"
CLOSED = "shut vent; unlock valve; connect valve; leak_check body"


def rig(power: bool = False, **changes: dict[str, Any]) -> dict[str, Any]:
    """The smallest plant, perhaps with a motor beside it; ``changes`` add to its parts."""
    unit: dict[str, Any] = {
        "unit": "U",
        "energies": {"water": {"form": "liquid_pressure"}},
        "parts": deepcopy(PARTS),
        "lines": {
            "feed": {"energy": "water", "path": ["main", "valve", "body"]},
            "relief": {"energy": "water", "path": ["body", "vent"]},
        },
    }
    if power:
        unit["energies"]["mains"] = {"form": "electricity"}
        unit["parts"].update(deepcopy(POWER))
        unit["lines"]["power"] = {"energy": "mains", "path": ["socket", "plug", "motor"]}
    for part, said in changes.items():
        unit["parts"].setdefault(part, {}).update(said)
    return unit


def steps(text: str) -> list[dict[str, Any]]:
    """``verb part; verb part`` as steps with the ids ``verb-part``; a repeated one gets ``-2``."""
    out: list[dict[str, Any]] = []
    for said in text.split(";"):
        verb, *what = said.split()
        name = f"{verb}-{what[0]}"
        name += "-2" if any(s["id"] == name for s in out) else ""
        arg: Any = what[0]
        if verb == "verify_zero":
            arg = {"part": what[0], "by": what[1]}
        if verb == "dose":
            arg = {"part": what[0], "energy": what[1]}
        out.append({"id": name, "do": "x", verb: arg})
    return out


def found(unit: dict[str, Any], text: str | list[dict[str, Any]], **more: Any) -> set[Finding]:
    """What the walker finds."""
    return walk(unit, {"procedure": "p", "steps": steps(text) if isinstance(text, str) else text, **more})


def checks(entries: list[dict[str, Any]], name: str, **more: Any) -> list[dict[str, Any]]:
    """The same list with one step made a check."""
    for entry in entries:
        if entry["id"] == name:
            del entry["do"]
            entry.update({"check": "x", **more})
    return entries


def test_the_safe_way_breaks_nothing() -> None:
    assert found(rig(), SAFE) == set()


# Each line: what is wrong, where it shows, and why nothing else does.
SLOW = {"throttles": "true"}
BY_HAND: list[tuple[dict[str, Any], str, dict[str, Any], set[Finding]]] = [
    # The valve is turned under its lock; the body was not vented, so nothing rises from zero.
    (
        rig(),
        "isolate valve; lock valve; connect valve; unlock valve",
        {},
        {("energy/moved-locked", "connect-valve", "valve")},
    ),
    # The lock goes on a valve that is on.
    (rig(), "lock valve; unlock valve", {}, {("energy/locked-not-off", "lock-valve", "valve")}),
    # Cut off but not vented: the water is still there, and the gauge shows it.
    (
        rig(),
        "isolate valve; verify_zero body gauge; connect valve",
        {},
        {("energy/verified-charged", "verify_zero-body", "body")},
    ),
    # The vent is shut: it shows nothing.
    (
        rig(),
        "isolate valve; verify_zero body vent; connect valve",
        {},
        {("energy/verified-blind", "verify_zero-body", "body")},
    ),
    # The open vent proves as well as the gauge does.
    (rig(), SAFE.replace("body gauge", "body vent"), {}, set()),
    # Opened in service.  Live, so nobody asks for locks; closed again it is live and can be checked.
    (rig(), "open body; close body; leak_check body", {}, {("energy/opened-live", "open-body", "body")}),
    # Locked out but not vented.
    (
        rig(),
        "isolate valve; lock valve; open body; close body; unlock valve; connect valve; leak_check body",
        {},
        {("energy/opened-charged", "open-body", "body")},
    ),
    # Vented, but nobody looked.
    (
        rig(),
        SAFE.replace("verify_zero body gauge; ", ""),
        {},
        {("energy/opened-unproven", "open-body", "body")},
    ),
    # Looked, but then the vent was shut: a valve that leaks would fill the body unseen.
    (
        rig(),
        SAFE.replace("open body", "shut vent; open body").replace("close body; shut vent", "close body"),
        {},
        {("energy/opened-unproven", "open-body", "body")},
    ),
    # The relief is shut and the body makes pressure again by itself; while open it is its own exit.
    (
        rig(body={"rebuilds": ["water"]}),
        SAFE.replace("open body", "shut vent; open body").replace("close body; shut vent", "close body"),
        {},
        {("energy/opened-charged", "open-body", "body")},
    ),
    # The motor beside it has power while the wet body is opened.
    (rig(True, body={"near": ["motor"]}), SAFE, {}, {("energy/wet-near-live", "open-body", "motor")}),
    # Power comes back before the leak check.
    (
        rig(True, body={"near": ["motor"]}),
        "isolate plug; " + SAFE.replace("leak_check", "connect plug; leak_check"),
        {},
        {("leak/power-before-check", "connect-plug", "motor")},
    ),
    # After the leak check it may come back.
    (rig(True, body={"near": ["motor"]}), f"isolate plug; {SAFE}; connect plug", {}, set()),
    # Its cover comes off under power.
    (
        rig(True, motor={"cover": "true"}),
        "uncover motor; cover motor",
        {},
        {("energy/uncovered-live", "uncover-motor", "motor")},
    ),
    # Off and locked, but the cover stays off.  (What leaves says of the plug is as it is.)
    (
        rig(True, motor={"cover": "true"}),
        "isolate plug; lock plug; uncover motor",
        {"leaves": {"plug": ["unplugged", "locked"]}},
        {("energy/left-uncovered", None, "motor")},
    ),
    # Uncovered without a lock, then energised in that state.
    (
        rig(True, motor={"cover": "true"}),
        "isolate plug; uncover motor; connect plug; cover motor",
        {},
        {
            ("energy/opened-unlocked", "uncover-motor", "motor"),
            ("energy/energised-open", "connect-plug", "motor"),
        },
    ),
    # Started without power, it then starts by itself when the plug goes in.
    (
        rig(True, motor={"runs": "mains"}),
        "stop motor; isolate plug; start motor; connect plug",
        {},
        {
            ("energy/started-dead", "start-motor", "motor"),
            ("energy/started-by-restoring", "connect-plug", "motor"),
        },
    ),
    # Cut while running.
    (
        rig(True, motor={"runs": "mains"}),
        "isolate plug; stop motor; connect plug; start motor",
        {},
        {("energy/cut-while-running", "isolate-plug", "motor")},
    ),
    # Trying the start with the power on.
    (
        rig(True, motor={"runs": "mains"}),
        "try_start motor",
        {},
        {("energy/tried-live", "try_start-motor", "motor")},
    ),
    # Unlocked while open, then filled while open; closed and checked afterwards all is in order.
    (
        rig(),
        f"{OPENED}; unlock valve; connect valve; close body; shut vent; leak_check body",
        {},
        {
            ("energy/unlocked-early", "unlock-valve", "valve"),
            ("energy/energised-open", "connect-valve", "body"),
        },
    ),
    # Turned off again while open: the question is asked anew at that act, and there is no lock.
    (
        rig(),
        f"{OPENED}; unlock valve; connect valve; isolate valve; close body; {CLOSED}".replace(
            "unlock valve; connect valve; leak", "connect valve; leak"
        ),
        {},
        {
            ("energy/unlocked-early", "unlock-valve", "valve"),
            ("energy/energised-open", "connect-valve", "body"),
            ("energy/opened-unlocked", "isolate-valve-2", "body"),
        },
    ),
    # No lock at all.
    (
        rig(),
        SAFE.replace("lock valve; ", "", 1).replace("unlock valve; ", ""),
        {},
        {("energy/opened-unlocked", "open-body", "body")},
    ),
    # No lock, but the valve is under the worker's own control.
    (
        rig(valve={"exclusive_control": "true"}),
        SAFE.replace("lock valve; ", "", 1).replace("unlock valve; ", ""),
        {},
        set(),
    ),
    # That does not do for leaving it open.
    (
        rig(valve={"exclusive_control": "true"}),
        OPENED.replace("lock valve; ", ""),
        {"leaves": {"valve": "closed", "vent": "open", "body": "open"}},
        {("energy/left-unlocked", None, "body")},
    ),
    # The valve is left off.
    (rig(), "isolate valve", {}, {("energy/not-restored", None, "valve")}),
    # Off was asked for, but the lock was not.
    (
        rig(),
        "isolate valve; lock valve",
        {"leaves": {"valve": "closed"}},
        {("energy/lock-left", None, "valve")},
    ),
    # A lock that leaves asks for is missing.
    (
        rig(),
        "isolate valve",
        {"leaves": {"valve": ["closed", "locked"]}},
        {("energy/not-restored", None, "valve")},
    ),
    # The body is left open and unchecked under lock; the valve and the vent are as leaves says.
    (
        rig(),
        OPENED,
        {"leaves": {"valve": ["closed", "locked"], "vent": "open"}},
        {("leak/left-open", None, "body"), ("leak/unchecked", None, "body")},
    ),
    # The check alone is owed, and that was allowed.
    (rig(), SAFE.replace("; leak_check body", ""), {"leaves": {"body": "unchecked"}}, set()),
    # Found open, locked and vented: it can be closed and put back, but the check is owed.
    (
        rig(),
        "close body; shut vent; unlock valve; connect valve",
        {"starts": {"valve": ["closed", "locked"], "vent": "open", "body": "open"}},
        {("leak/unchecked", None, "body")},
    ),
    # The seal was not looked at.
    (rig(body={"seal": "O-ring"}), SAFE, {}, {("leak/seal-not-inspected", "close-body", "body")}),
    # Checked while it stands open; the second check is good.
    (
        rig(),
        f"{OPENED}; leak_check body; close body; {CLOSED}",
        {},
        {("leak/checked-open", "leak_check-body", "body")},
    ),
    # Checked without water; the second check is good.
    (
        rig(),
        f"{OPENED}; close body; leak_check body; {CLOSED}",
        {},
        {("leak/checked-dry", "leak_check-body", "body")},
    ),
    # Checked with the vent still open.
    (
        rig(),
        f"{OPENED}; close body; unlock valve; connect valve; leak_check body; shut vent; leak_check body",
        {},
        {("leak/checked-dry", "leak_check-body", "body")},
    ),
    # Let out the air when nothing pushes it.
    (
        rig(body={"traps_air": "true"}),
        "isolate valve; bleed body; connect valve",
        {},
        {("leak/bled-dry", "bleed-body", "body")},
    ),
    # Screwed tighter in service.
    (
        rig(body={"tighten": "22 N·m"}),
        "tighten body",
        {},
        {("leak/worked-under-pressure", "tighten-body", "body")},
    ),
    # Screwed on by hand only, then filled.
    (rig(body={"tighten": "22 N·m"}), SAFE, {}, {("leak/not-tightened", "connect-valve", "body")}),
    (rig(body={"tighten": "22 N·m"}), SAFE.replace("close body", "close body; tighten body"), {}, set()),
    # The valve could have let the water in slowly.
    (rig(valve=SLOW), SAFE, {}, {("leak/filled-at-once", "connect-valve", "body")}),
    (rig(valve=SLOW), SAFE.replace("connect valve", "throttle valve; connect valve"), {}, set()),
    # Checked at a valve that is part open: nothing is reported, and nothing is paid.
    (
        rig(valve=SLOW),
        SAFE.replace("connect valve; leak_check body", "throttle valve; leak_check body; connect valve"),
        {},
        {("leak/unchecked", None, "body")},
    ),
    # Full before the air was out.
    (
        rig(valve=SLOW, body={"traps_air": "true"}),
        SAFE.replace("connect valve", "throttle valve; connect valve; bleed body"),
        {},
        {("leak/full-before-bleed", "connect-valve", "body")},
    ),
    (
        rig(valve=SLOW, body={"traps_air": "true"}),
        SAFE.replace("connect valve", "throttle valve; bleed body; connect valve"),
        {},
        set(),
    ),
]


@pytest.mark.parametrize("number", range(len(BY_HAND)))
def test_by_hand(number: int) -> None:
    unit, text, more, expected = BY_HAND[number]
    assert found(unit, text, **more) == expected


def test_a_full_tank_joined_to_what_stands_open() -> None:
    """It empties at once through the opening; an emptied one, its own cock open, lets nothing in."""
    unit = rig(tank={"role": "store"}, neck={"role": "isolator", "device": "valve"}, cock={"role": "vent"})
    unit["lines"]["side"] = {"energy": "water", "path": ["body", "neck", "tank"]}
    unit["lines"]["out"] = {"energy": "water", "path": ["tank", "cock"]}
    joined = "isolate neck; lock neck; {0}" + OPENED + "; unlock neck; connect neck; close body; {1}" + CLOSED
    assert found(unit, joined.format("", "")) == {
        ("energy/unlocked-early", "unlock-neck", "neck"),
        ("energy/energised-open", "connect-neck", "body"),
    }
    assert found(unit, joined.format("vent cock; ", "shut cock; ")) == set()


def test_a_condition_that_is_not_made() -> None:
    entries = steps("isolate valve; connect valve")
    entries[0]["needs"] = {"crew": "told", "valve": "closed", "body": "live"}  # the body is live
    entries[1]["makes"] = {"crew": "told"}
    assert found(rig(), entries, conditions={"crew": ["unaware", "told"]}) == {
        ("graph/need-unmet", "isolate-valve", "crew"),
        ("graph/need-unmet", "isolate-valve", "valve"),
    }


def test_a_capacitor_keeps_its_charge_until_it_is_discharged() -> None:
    unit = rig(True, cap={"role": "store"}, tester={"role": "gauge", "at": "any", "energy": "mains"})
    unit["lines"]["power"]["path"].append("cap")
    # In service there is no discharging it.
    assert found(unit, "discharge cap") == {("energy/discharged-live", "discharge-cap", "cap")}
    # Cut off, the capacitor holds and spreads to the motor; discharged, both are at zero.
    text = (
        "isolate plug; lock plug; {}verify_zero motor tester; open motor; close motor; "
        "unlock plug; connect plug"
    )
    assert found(unit, text.format("")) == {
        ("energy/verified-charged", "verify_zero-motor", "motor"),
        ("energy/opened-charged", "open-motor", "motor"),
    }
    assert found(unit, text.format("discharge motor; ")) == {  # the motor keeps nothing itself: no effect
        ("energy/verified-charged", "verify_zero-motor", "motor"),
        ("energy/opened-charged", "open-motor", "motor"),
    }
    assert found(unit, text.format("discharge cap; ")) == set()


def test_a_tester_needs_the_cover_off() -> None:
    unit = rig(True, motor={"cover": "true"}, tester={"role": "gauge", "at": "any", "energy": "mains"})
    assert found(unit, "isolate plug; verify_zero motor tester; connect plug") == {
        ("energy/verified-blind", "verify_zero-motor", "motor")
    }
    assert (
        found(
            unit,
            "isolate plug; lock plug; uncover motor; verify_zero motor tester; cover motor; "
            "unlock plug; connect plug",
        )
        == set()
    )


def test_a_brought_chemical_is_flushed() -> None:
    unit = rig()
    unit["energies"]["acid"] = {"form": "chemical", "brought": "true"}
    unit["parts"]["second"] = {"role": "component"}
    unit["lines"]["treat"] = {"energy": "acid", "path": ["body", "second"]}
    # It reaches the second body too; one flush rinses both.
    assert found(unit, "dose body acid") == {
        ("chemical/not-flushed", None, "body"),
        ("chemical/not-flushed", None, "second"),
    }
    assert found(unit, "dose body acid; flush second") == set()


def test_a_restriction_may_be_blocked() -> None:
    unit = rig(
        insert={"role": "restriction"},
        far={"role": "component"},
        far_gauge={"role": "gauge", "at": "far", "energy": "water"},
    )
    unit["lines"]["feed"]["path"] += ["insert", "far"]
    # The vent of the body relieves nothing behind the insert for sure, nor does its gauge see there.
    text = "isolate valve; lock valve; vent vent; verify_zero far {}; shut vent; unlock valve; connect valve"
    assert found(unit, text.format("far_gauge")) == {("energy/verified-charged", "verify_zero-far", "far")}
    assert found(unit, text.format("gauge")) == {("energy/verified-blind", "verify_zero-far", "far")}


def test_double_isolation() -> None:
    unit = rig()
    unit["energies"]["water"]["isolation"] = "double"
    # The one valve may leak.
    assert found(unit, SAFE) == {("energy/isolation-too-thin", "open-body", "body")}
    unit["parts"]["second"] = {"role": "isolator", "device": "valve"}
    unit["lines"]["feed"]["path"].insert(2, "second")
    two = f"isolate second; lock second; {SAFE}".replace(
        "leak_check", "unlock second; connect second; leak_check"
    )
    assert found(unit, two) == set()
    # With a bleed asked for there must be one, it must be open, and it must stand between the two.
    unit["energies"]["water"]["isolation"] = "double_block_and_bleed"
    thin = {("energy/isolation-too-thin", "open-body", "body")}
    assert found(unit, two) == thin
    unit["parts"]["bleed"] = {"role": "vent"}
    unit["lines"]["drain"] = {"energy": "water", "path": ["valve", "bleed"]}
    assert found(unit, two) == thin
    assert found(unit, f"vent bleed; {two}".replace("unlock valve", "shut bleed; unlock valve")) == set()
    unit["lines"]["drain"]["path"] = ["body", "bleed"]  # behind both: it does not bleed what is between
    assert found(unit, f"vent bleed; {two}".replace("unlock valve", "shut bleed; unlock valve")) == thin


def test_an_opened_device() -> None:
    # The valve's own body stands next to the main: always live.
    assert found(rig(), OPENED.replace("open body", "open valve") + "; close valve; " + CLOSED) == {
        ("energy/opened-live", "open-valve", "valve")
    }
    # The vent's body is proven by the body beside it, which then owes the check.
    assert found(rig(), OPENED.replace("open body", "open vent") + "; close vent; " + CLOSED) == set()
    assert found(
        rig(),
        OPENED.replace("open body", "open gauge") + "; close gauge; shut vent; unlock valve; connect valve",
    ) == {("leak/unchecked", None, "body")}


def test_an_opened_tester_is_never_proven() -> None:
    # It stands on its energy, but beside nothing that could be proven for it.
    unit = rig(tester={"role": "gauge", "at": "any", "energy": "water"})
    assert found(unit, "open tester; close tester") == {("energy/opened-unproven", "open-tester", "tester")}


def test_a_discharge_does_not_empty_what_only_an_exit_empties() -> None:
    # The tank keeps its water until it is discharged; the body beside it has no exit, so it still holds
    # water, and that comes back into the tank at once.
    unit = rig(
        tank={"role": "component", "keeps": ["water"]},
        tank_gauge={"role": "gauge", "at": "tank", "energy": "water"},
    )
    unit["lines"]["feed"]["path"].append("tank")
    text = (
        "isolate valve; lock valve; {}discharge tank; verify_zero tank tank_gauge; {}"
        "unlock valve; connect valve"
    )
    assert found(unit, text.format("", "")) == {("energy/verified-charged", "verify_zero-tank", "tank")}
    assert found(unit, text.format("vent vent; ", "shut vent; ")) == set()


def test_an_outlet_feeds_unless_known_not_to() -> None:
    unit = rig(tap={"role": "outlet"})
    unit["lines"]["feed"]["path"].append("tap")
    wrong = {
        ("energy/verified-charged", "verify_zero-body", "body"),
        ("energy/opened-live", "open-body", "body"),
        ("leak/checked-dry", "leak_check-body", "body"),
        ("leak/unchecked", None, "body"),
    }
    # Live from the tap all the time: no zero, opened live; with the vent shut the check at the end is good.
    assert found(unit, SAFE) == wrong - {
        ("leak/checked-dry", "leak_check-body", "body"),
        ("leak/unchecked", None, "body"),
    }
    unit["parts"]["tap"]["feeds_back"] = "false"
    assert found(unit, SAFE) == set()


# -- failing -------------------------------------------------------------------------------------------


def test_a_failed_leak_check_is_no_end() -> None:
    # Without an otherwise, failing ends the work: live, and the check still owed.
    assert found(rig(), checks(steps(SAFE), "leak_check-body")) == {
        ("graph/end-unsafe", "leak_check-body", "body")
    }
    # Off, locked and vented again it may end; the end of the otherwise is the check's.
    safe = {"steps": steps("isolate valve"), "end_here": "x"}
    assert found(rig(), checks(steps(SAFE), "leak_check-body", otherwise=safe)) == set()


def test_a_failed_proof_proves_nothing() -> None:
    go_on = {"continue": "true"}
    assert found(rig(), checks(steps(SAFE), "verify_zero-body", otherwise=go_on)) == {
        ("energy/opened-unproven", "open-body", "body")
    }


def test_going_back_and_then_are_both_walked() -> None:
    # Going back forgets that the body was opened, so it is opened live the second time.  The then leaves
    # the unit live with the check owed; its end belongs to the check.
    entries = checks(
        steps(SAFE),
        "leak_check-body",
        otherwise={
            "back_to": "open-body",
            "at_most": "1",
            "then": {"steps": steps("isolate valve; connect valve"), "end_here": "x"},
        },
    )
    result = found(rig(), entries)
    assert ("energy/opened-live", "open-body", "body") in result
    assert ("graph/end-unsafe", "leak_check-body", "body") in result
    # Everything else comes from the second round: the valve is not off when it is filled open.
    assert (
        result
        - {("energy/opened-live", "open-body", "body"), ("graph/end-unsafe", "leak_check-body", "body")}
        == set()
    )


def test_a_once_step_is_not_done_again() -> None:
    entries = [
        {"id": "a", "do": "x", "clean": "body", "once": "true"},
        {"id": "b", "do": "x"},
        {"id": "c", "check": "x", "otherwise": {"back_to": "a"}},
    ]
    course = Course(rig(), {"steps": entries})
    place = course.start()
    for failed in (False, False, True):
        place = next(m.place for m in course.moves(place) if m.failed == failed)  # type: ignore[assignment]
    place = course.moves(place)[0].place  # type: ignore[assignment]
    assert [m.step.path for m in course.moves(place) if m.step] == ["b"]


def test_the_otherwise_of_a_group() -> None:
    # It is for the check that has none; the inner group's comes first.
    entries = [
        {
            "id": "g",
            "otherwise": {"continue": "true"},
            "steps": [
                {"id": "a", "check": "x"},
                {"id": "b", "check": "x", "otherwise": {"end_here": "x"}},
                {"id": "h", "otherwise": {"end_here": "x"}, "steps": [{"id": "c", "check": "x"}]},
            ],
        }
    ]
    main = Course(rig(), {"steps": entries}).main
    assert [(s.path, s.recovery.ending) for s in main.steps] == [
        ("g/a", "continue"),
        ("g/b", "end_here"),
        ("g/h/c", "end_here"),
    ]


def test_paths_under_a_check() -> None:
    then = {
        "steps": [{"id": "y", "do": "x"}],
        "back_to": "c",
        "then": {"steps": [{"id": "z", "do": "x"}], "end_here": "x"},
    }
    entries = [
        {
            "id": "c",
            "check": "x",
            "otherwise": {
                "steps": [{"id": "g", "steps": [{"id": "x", "do": "x"}]}],
                "back_to": "c",
                "then": then,
            },
        }
    ]
    recovery = Course(rig(), {"steps": entries}).main.steps[0].recovery
    assert recovery.then is not None and recovery.then.then is not None
    assert [r.plan.steps[0].path for r in (recovery, recovery.then, recovery.then.then)] == [
        "c/otherwise/g/x",
        "c/then/y",
        "c/then/then/z",
    ]


def test_going_back_out_of_an_otherwise_drops_it() -> None:
    inner = {"id": "d", "check": "x", "otherwise": {"back_to": "a"}}
    entries = [
        {"id": "a", "do": "x"},
        {"id": "b", "do": "x"},
        {"id": "c", "check": "x", "otherwise": {"steps": [inner], "continue": "true"}},
    ]
    course = Course(rig(), {"steps": entries})
    place = course.start()
    for failed in (False, False, True, True):
        place = next(m.place for m in course.moves(place) if m.failed == failed)  # type: ignore[assignment]
    place = course.moves(place)[0].place  # type: ignore[assignment]
    assert len(place.levels) == 1 and place.levels[0].done == frozenset()


@pytest.mark.parametrize(
    ("otherwise", "walks"),
    [
        ({"end_here": "x"}, 2),
        ({"continue": "true"}, 2),
        ({"back_to": "c"}, 3),  # passes; fails once; fails twice (a third failing is not walked)
        ({"back_to": "c", "then": {"end_here": "x"}}, 5),  # as before, and the end after each failing
    ],
)
def test_how_often_a_check_fails(otherwise: dict[str, Any], walks: int) -> None:
    assert count_walks(rig(), {"steps": [{"id": "c", "check": "x", "otherwise": otherwise}]}) == walks


def test_what_may_fail() -> None:
    unit = rig(gauge={"usual": "1 to 3 bar"}, plain={"role": "gauge", "at": "body", "energy": "water"})
    entries = [
        {"id": "a", "read": "gauge"},
        {"id": "b", "read": "plain"},
        {"id": "c", "read": "plain", "within": "1 to 3 bar"},
        {"id": "d", "wait": "5 min"},
        {"id": "e", "leak_check": "body"},
        {"id": "f", "open": "body"},
        {"id": "g", "check": "x"},
    ]
    assert [s.path for s in Course(unit, {"steps": entries}).main.steps if s.may_fail] == ["a", "c", "e", "g"]


# -- orders --------------------------------------------------------------------------------------------


def entry(name: str, *after: str) -> dict[str, Any]:
    """A step that follows only these."""
    return {"id": name, "do": "x", "after": list(after)}


@pytest.mark.parametrize("size", range(1, 7))
def test_orders_of_an_antichain(size: int) -> None:
    group = {"id": "g", "any_order": [{"id": f"s{i}", "do": "x"} for i in range(size)]}
    assert count_orders({"steps": [group]}) == math.factorial(size)


@pytest.mark.parametrize("size", range(1, 7))
def test_orders_of_two_rows_are_catalan_numbers(size: int) -> None:
    entries = []
    for i in range(size):
        entries.append(entry(f"x{i}", *([f"x{i - 1}"] if i else [])))
        entries.append(entry(f"y{i}", f"x{i}", *([f"y{i - 1}"] if i else [])))
    assert count_orders({"steps": entries}) == math.comb(2 * size, size) // (size + 1)


def test_orders_of_the_cube() -> None:
    names = ["", "a", "b", "c", "ab", "ac", "bc", "abc"]  # the subsets of three things
    entries = [entry(f"s{n}", *(f"s{m}" for m in names if set(m) < set(n))) for n in names]
    assert count_orders({"steps": entries}) == 48


def test_orders_of_small_shapes() -> None:
    chains = [{"id": g, "steps": [{"id": "a", "do": "x"}, {"id": "b", "do": "x"}]} for g in ("g", "h")]
    assert count_orders({"steps": [{"id": "f", "any_order": chains}]}) == 6
    assert count_orders({"steps": [entry("a"), entry("b"), entry("c", "a", "b"), entry("d", "b")]}) == 5  # N
    assert count_orders({"steps": [entry("a"), entry("b", "a"), entry("c", "a"), entry("d", "b", "c")]}) == 2
    # Without after, an entry follows all above it, the free ones too.
    assert count_orders({"steps": [entry("a"), entry("b"), {"id": "c", "do": "x"}]}) == 2
    # A group named in after means all of its steps.
    assert count_orders({"steps": [{**chains[0], "after": []}, {"id": "c", "do": "x", "after": ["g"]}]}) == 1


def test_only_the_bad_order_is_bad() -> None:
    # Locking follows nothing, so in one order of the two it comes before the valve is off.
    entries = steps("isolate valve; lock valve; unlock valve; connect valve")
    entries[1]["after"] = []
    assert found(rig(), entries) == {("energy/locked-not-off", "lock-valve", "valve")}


# -- the reaches ---------------------------------------------------------------------------------------


def test_reaches() -> None:
    unit = rig(insert={"role": "restriction"}, far={"role": "component"})
    unit["lines"]["feed"]["path"] += ["insert", "far"]
    plant = Plant(unit)
    off = frozenset({"valve"})
    assert plant.reach("water", {"body"}, off) == {"body", "vent", "gauge", "valve", "insert", "far"}
    assert plant.reach("water", {"body"}, off, sure=True) == {"body", "vent", "gauge", "valve", "insert"}
    assert plant.reach("water", {"main"}, off) == {"main", "valve"}
    assert plant.reach("water", {"valve"}, off) >= {"main", "far"}  # a start always looks at its neighbours

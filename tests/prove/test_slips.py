"""The slips of the trade, each a damage of one edit to a procedure that is safe without it.

That these slips happen and hurt is common practice in servicing, no source, but where a line names one. Each
is found by its rule on the right step and part, with everything else that follows from it and nothing more.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from proctool.model.finding import Level
from tests.prove.build import Case, assert_found, assert_safe, case, proofs, trace
from tests.prove.machines import (
    BATTERY,
    BESIDE_TANK,
    BLED,
    CHANGE,
    COVERED,
    DRIVER,
    DRY,
    INSIDE,
    LAMP,
    LEAVE_OPEN,
    MEND,
    PLATES,
    SANITISE,
    SEAL,
)

CLEAN = {
    "change": CHANGE,
    "dry": DRY,
    "beside tank": BESIDE_TANK,
    "lamp": LAMP,
    "battery": BATTERY,
    "plates": PLATES,
    "inside": INSIDE,
    "bled": BLED,
    "covered": COVERED,
    "sanitise": SANITISE,
    "driver": DRIVER,
    "seal": SEAL,
    "mend": MEND,
    "leave open": LEAVE_OPEN,
}


@dataclass(frozen=True, slots=True)
class Slip:
    """One edit, and every finding that follows from it; the first is the one that the slip is known by."""

    name: str
    clean: Case
    damage: Callable[[Case], Case]
    finds: tuple[str, ...]
    energies: tuple[str, ...] = ("water",)
    """Energies of the first finding."""


ISOLATE_INLET = "isolate: inlet, lock: inlet"
VERIFY = "verify_zero: {part: second"

ISOLATION = [
    Slip(
        "supply never closed",
        CHANGE,
        lambda c: c.drop(ISOLATE_INLET),
        (
            "energy/opened-live open-second second",
            "energy/verified-charged verify_zero-second second",
            "leak/worked-under-pressure tighten-second second",
        ),
    ),
    Slip(
        "supply locked but not closed",
        CHANGE,
        lambda c: c.edit("isolate: inlet, lock: inlet", "lock: inlet"),
        (
            "energy/locked-not-off lock-inlet inlet",
            "energy/opened-live open-second second",
            "energy/verified-charged verify_zero-second second",
            "leak/worked-under-pressure tighten-second second",
        ),
        (),
    ),
    Slip(
        "supply closed and not locked",
        CHANGE,
        lambda c: c.edit("isolate: inlet, lock: inlet", "isolate: inlet"),
        ("energy/opened-unlocked open-second second",),
    ),
    Slip(
        "pump left plugged in",
        CHANGE,
        lambda c: c.drop("isolate: plug"),
        ("energy/wet-near-live open-second pump",),
        ("mains",),
    ),
    Slip(
        "a check valve for an isolator, against a live header",
        DRY,
        lambda c: c.drop("isolate: out_valve"),
        ("energy/opened-live open-tower tower", "energy/verified-charged verify_zero-tower tower"),
        ("air",),
    ),
    Slip(
        "a user line that feeds back",
        CHANGE,
        lambda c: c.edit(", feeds_back: false, why: ends free above the sink", ""),
        (
            "energy/opened-live open-second second",
            "energy/verified-charged verify_zero-second second",
            "leak/worked-under-pressure tighten-second second",
            # When the job stops after a leak, closing the inlet no longer takes the pressure away.
            "graph/end-unsafe leak_check-second second",
        ),
    ),
    Slip(
        "a full tank behind a valve that nothing secures",
        BESIDE_TANK,
        lambda c: c.edit("isolate: tank_valve, lock: tank_valve", "isolate: tank_valve"),
        ("energy/opened-unlocked open-housing housing",),
    ),
    Slip(
        "a tank joined again while the housing stands open",
        BESIDE_TANK,
        lambda c: c.move("id: join", before="close: housing"),
        # It empties at once through the opening, so that neither holds anything after the act.
        ("energy/energised-open join housing", "energy/unlocked-early join tank_valve"),
    ),
    Slip(
        "a tank joined again over a check valve while the housing stands open",
        BESIDE_TANK.edit("  tank: ", "  tank_check: {role: check_valve}\n  tank: ").edit(
            "tank_valve, tank]", "tank_valve, tank_check, tank]"
        ),
        lambda c: c.move("id: join", before="close: housing"),
        ("energy/energised-open join housing", "energy/unlocked-early join tank_valve"),
    ),
]

RELIEF = [
    Slip(
        "pressure never relieved",
        CHANGE,
        lambda c: c.drop("id: relieve"),
        (
            "energy/opened-charged open-second second",
            "energy/verified-charged verify_zero-second second",
            # What is still shut in before the cartridge comes through it as soon as the housing is closed.
            "leak/not-tightened close-second second",
            "leak/worked-under-pressure tighten-second second",
        ),
    ),
    Slip(
        "a vent beyond a cartridge that may be blocked",
        CHANGE,
        lambda c: c.edit("vent: [button1, button2]", "vent: button1"),
        (
            "energy/opened-charged open-second second",
            "energy/verified-charged verify_zero-second second",
        ),
    ),
    Slip(
        "a vent beyond a check valve",
        DRY,
        lambda c: c.edit("vent: [tower_drain, filter_drain]", "vent: filter_drain"),
        ("energy/opened-charged open-tower tower", "energy/verified-charged verify_zero-tower tower"),
        ("air",),
    ),
    Slip(
        "a vent beyond a valve that is shut",
        BESIDE_TANK,
        lambda c: c.edit("path: [housing, button]", "path: [tank, button]"),
        (
            "energy/opened-charged open-housing housing",
            "energy/verified-charged verify_zero-housing housing",
        ),
    ),
    Slip(
        "a tank behind a check valve, and the vent shut after zero was read",
        BESIDE_TANK.edit("  tank: ", "  tank_check: {role: check_valve}\n  tank: ")
        .edit("tank_valve, tank]", "tank_valve, tank_check, tank]")
        .edit("isolate: tank_valve, lock: tank_valve", "id: as_found, restore: tank_valve"),
        # A check valve may leak backwards: with no way out, what the tank holds comes to where zero was read.
        lambda c: c.move("shut: button", before="open: housing"),
        ("energy/opened-charged open-housing housing",),
    ),
    Slip(
        "a battery that feeds back",
        BATTERY,
        lambda c: c.drop("isolate: battery_switch"),
        ("energy/opened-charged open-board board", "energy/verified-charged verify_zero-board board"),
        ("supply",),
    ),
    Slip(
        "capacitor charged again after it was discharged",
        LAMP,
        lambda c: c.insert(
            "id: flash, unlock: switch, connect: switch, isolate: switch, lock: switch",
            before="verify_zero: {part: driver",
        ),
        ("energy/opened-charged open-driver driver", "energy/verified-charged verify_zero-driver driver"),
        ("mains",),
    ),
    Slip(
        "capacitor discharged while it is fed",
        LAMP,
        lambda c: c.move("discharge: driver", before="isolate: switch"),
        (
            "energy/discharged-live discharge-driver driver",
            "energy/opened-charged open-driver driver",
            "energy/verified-charged verify_zero-driver driver",
        ),
        ("mains",),
    ),
    Slip(
        "hot plates waited for and never drained",
        PLATES,
        lambda c: c.drop("vent: drain"),
        ("energy/opened-charged open-plates plates", "energy/verified-charged empty plates"),
        ("hot_water",),
    ),
    Slip(
        "hot plates drained and not waited for",
        PLATES,
        lambda c: c.drop("id: cool"),
        ("energy/opened-charged open-plates plates", "energy/verified-charged cold plates"),
        ("heat",),
    ),
    Slip(
        "hot plates waited for while still fed",
        PLATES,
        lambda c: c.move("id: cool", before=ISOLATE_INLET),
        (
            "energy/discharged-live cool plates",
            "energy/opened-charged open-plates plates",
            "energy/verified-charged cold plates",
        ),
        ("heat",),
    ),
]

VERIFYING = [
    Slip(
        "zero never verified",
        CHANGE,
        lambda c: c.drop(VERIFY),
        ("energy/opened-unproven open-second second",),
    ),
    Slip(
        "verified before it is relieved",
        CHANGE,
        lambda c: c.move(VERIFY, before="id: relieve"),
        (
            "energy/verified-charged verify_zero-second second",
            "energy/opened-unproven open-second second",
        ),
    ),
    Slip(
        "verified, then the vent shut",
        CHANGE,
        lambda c: c.move("id: shut", before="open: second"),
        ("energy/opened-unproven open-second second",),
    ),
    Slip(
        "a gauge that cannot see the part",
        CHANGE,
        lambda c: c.edit("by: gauge2", "by: gauge1"),
        (
            "energy/verified-blind verify_zero-second second",
            "energy/opened-unproven open-second second",
        ),
    ),
    Slip(
        "a gauge that the check valve hides the part from",
        DRY,
        lambda c: c.edit("by: tower_gauge", "by: filter_gauge"),
        ("energy/verified-blind verify_zero-tower tower", "energy/opened-unproven open-tower tower"),
        ("air",),
    ),
]

REFILLING = [
    Slip(
        "supply opened before the housing is shut",
        CHANGE,
        lambda c: c.move("id: refill", before="close: second"),
        (
            "energy/energised-open refill second",
            "energy/unlocked-early refill inlet",
            "leak/worked-under-pressure tighten-second second",
        ),
    ),
    Slip(
        "full flow at once",
        CHANGE,
        lambda c: c.edit("unlock: inlet, throttle: inlet", "unlock: inlet, connect: inlet"),
        ("leak/filled-at-once refill second", "leak/full-before-bleed refill second"),
    ),
    Slip(
        "air left in the housing",
        CHANGE,
        lambda c: c.drop("bleed: second"),
        ("leak/full-before-bleed restore-inlet second",),
    ),
    Slip(
        "bled before any water comes",
        CHANGE,
        lambda c: c.move("bleed: second", before="id: refill"),
        ("leak/bled-dry bleed-second second",),
        (),
    ),
    Slip(
        "a joint tightened under pressure",
        CHANGE,
        lambda c: c.move("tighten: second", before="bleed: second"),
        ("leak/worked-under-pressure tighten-second second", "leak/not-tightened refill second"),
    ),
    Slip(
        "a joint never tightened",
        CHANGE,
        lambda c: c.drop("tighten: second"),
        ("leak/not-tightened refill second",),
    ),
    Slip(
        "the seal not looked at",
        CHANGE,
        lambda c: c.drop("new_seal: second"),
        ("leak/seal-not-inspected close-second second",),
        (),
    ),
    Slip(
        "the housing left open",
        CHANGE,
        lambda c: c.drop("close: second"),
        (
            "leak/left-open end second",
            "energy/left-unlocked end second",
            "energy/unlocked-early refill inlet",
            "energy/energised-open refill second",
            "leak/checked-open leak_check-second second",
            "leak/unchecked end second",
            "leak/power-before-check power pump",
            # The failed check closes the inlet and ends the job, the housing open behind it and no lock.
            "energy/opened-unlocked leak_check-second/otherwise/isolate-inlet second",
            "graph/end-unsafe leak_check-second second",
        ),
        (),
    ),
]

LEAKS = [
    Slip(
        "leak check without pressure",
        CHANGE,
        lambda c: c.move("leak_check: second", before="id: refill"),
        (
            "leak/checked-dry leak_check-second second",
            "leak/unchecked end second",
            "leak/power-before-check power pump",
        ),
    ),
    Slip(
        "leak check with the drain open",
        CHANGE,
        lambda c: c.move("id: shut", before="id: power"),
        (
            "leak/checked-dry leak_check-second second",
            "leak/unchecked end second",
            "leak/power-before-check power pump",
        ),
    ),
    Slip(
        "leak check at a trickle",
        CHANGE,
        lambda c: c.move("restore: inlet", before="id: power"),
        ("leak/unchecked end second", "leak/power-before-check power pump"),
        (),
    ),
    Slip(
        "no leak check",
        CHANGE,
        lambda c: c.drop("leak_check: second"),
        ("leak/unchecked end second", "leak/power-before-check power pump"),
        (),
    ),
    Slip(
        "power back before the leak check",
        CHANGE,
        lambda c: c.move("id: power", before="leak_check: second"),
        ("leak/power-before-check power pump",),
        ("mains",),
    ),
]

RETURNING = [
    Slip(
        "a pump that starts by itself when plugged in",
        CHANGE,
        lambda c: c.drop("stop: pump"),
        ("energy/started-by-restoring power pump", "energy/cut-while-running isolate-plug pump"),
        ("mains",),
    ),
    Slip(
        "a pump that is never plugged in again",
        CHANGE,
        lambda c: c.edit("unlock: plug, restore: plug", "unlock: plug"),
        ("energy/not-restored end plug", "energy/started-dead start-pump pump"),
        (),
    ),
    Slip(
        "a pump that is never started again",
        CHANGE,
        lambda c: c.drop("start: pump"),
        ("energy/not-restored end pump",),
        (),
    ),
    Slip(
        "lock left on",
        CHANGE,
        lambda c: c.edit("unlock: plug, restore: plug", "restore: plug"),
        ("energy/lock-left end plug", "energy/moved-locked power plug"),
        (),
    ),
    Slip(
        "a vent left open",
        DRY,
        lambda c: c.edit("shut: [tower_drain, filter_drain]", "shut: tower_drain"),
        (
            "energy/not-restored end filter_drain",
            "leak/checked-dry leak_check-tower tower",
            "leak/unchecked end tower",
        ),
        (),
    ),
    Slip(
        "walked away from an open machine with its plug in nobody's hand",
        LEAVE_OPEN,
        # Exclusive control is good while the person is there (29 CFR 1910.147(a)(2)(iii)(A)), and no longer.
        lambda c: c.edit("isolate: plug, lock: plug", "isolate: plug").edit(
            "[unplugged, locked]", "unplugged"
        ),
        ("energy/left-unlocked end motor",),
        ("mains",),
    ),
    Slip(
        "the job stopped in the middle with its plug in nobody's hand",
        MEND,
        lambda c: c.edit("{steps: [{close: motor}], end_here", "{end_here"),
        ("graph/end-unsafe look motor",),
        ("mains",),
    ),
]


@pytest.mark.parametrize("clean", CLEAN.values(), ids=CLEAN)
def test_the_original_is_safe(clean: Case) -> None:
    assert_safe(clean)


BESIDES = [
    Slip(
        "one side of the cartridge never verified",
        INSIDE,
        lambda c: c.drop("id: zero1"),
        ("energy/opened-unproven open-cartridge cartridge",),
    ),
    Slip(
        "one side of the cartridge never relieved",
        INSIDE,
        lambda c: c.edit("vent: [button1, button2]", "vent: button2"),
        ("energy/opened-charged open-cartridge cartridge", "energy/verified-charged zero1 first"),
    ),
    Slip(
        "one side of the cartridge never leak-checked",
        INSIDE,
        # No step acts on that housing: the finding stands at the name of the procedure.
        lambda c: c.drop("leak_check: first"),
        ("leak/unchecked end first", "leak/power-before-check power pump"),
        (),
    ),
    Slip(
        "the bleed between two blocks left shut",
        BLED,
        lambda c: c.drop("vent: bleed"),
        ("energy/isolation-too-thin open-coil coil",),
        ("steam",),
    ),
    Slip(
        "the bleed shut while the coil stands open",
        BLED,
        lambda c: c.move("shut: bleed", before="close: coil"),
        ("energy/isolation-too-thin shut-bleed coil",),
        ("steam",),
    ),
    Slip(
        "one block where two are asked for",
        BLED,
        lambda c: c.drop("isolate: block2"),
        ("energy/isolation-too-thin open-coil coil",),
        ("steam",),
    ),
    Slip(
        "one block opened again while the coil stands open",
        BLED,
        lambda c: c.move("id: refill2", before="close: coil"),
        ("energy/isolation-too-thin refill2 coil",),
        ("steam",),
    ),
    Slip(
        "a tester held to a lamp behind its cover",
        COVERED,
        lambda c: c.move("verify_zero: {part: lamp", before="uncover: lamp"),
        ("energy/verified-blind verify_zero-lamp lamp", "energy/opened-unproven open-lamp lamp"),
        ("mains",),
    ),
    Slip(
        "the cover taken off a live lamp",
        COVERED,
        lambda c: c.move("uncover: lamp", before="isolate: switch"),
        # Cut off at last, it stands uncovered between the turn of the switch and the lock.
        (
            "energy/uncovered-live uncover-lamp lamp",
            "energy/opened-unlocked isolate-switch lamp",
        ),
        ("mains",),
    ),
    Slip(
        "power back while the cover is off",
        COVERED,
        lambda c: c.move("id: power", before="cover: lamp"),
        ("energy/unlocked-early power switch", "energy/energised-open power lamp"),
        ("mains",),
    ),
    Slip(
        "the cover left off",
        COVERED,
        lambda c: c.drop("cover: lamp"),
        (
            "energy/left-uncovered end lamp",
            "energy/unlocked-early power switch",
            "energy/energised-open power lamp",
        ),
        (),
    ),
    Slip(
        "a vent that a shut valve hides the part from",
        BLED,
        lambda c: c.edit("by: drain", "by: bleed"),
        ("energy/verified-blind verify_zero-coil coil", "energy/opened-unproven open-coil coil"),
        ("steam",),
    ),
    Slip(
        "a driver cut off while its fan runs",
        DRIVER,
        lambda c: c.drop("stop: fan"),
        (
            "energy/started-by-restoring restore-switch fan",
            "energy/cut-while-running isolate-switch fan",
        ),
        ("mains",),
    ),
    Slip(
        "the disinfectant left in",
        SANITISE,
        lambda c: c.drop("flush: pipe"),
        ("chemical/not-flushed end tank", "chemical/not-flushed end pipe"),
        ("chlorine",),
    ),
    Slip(
        "flushed before it is dosed",
        SANITISE,
        lambda c: c.move("flush: pipe", before="dose: {part: tank"),
        ("chemical/not-flushed end tank", "chemical/not-flushed end pipe"),
        ("chlorine",),
    ),
]

SLIPS = [*ISOLATION, *RELIEF, *VERIFYING, *REFILLING, *LEAKS, *RETURNING, *BESIDES]


@pytest.mark.parametrize("slip", SLIPS, ids=lambda slip: slip.name)
def test_slip(slip: Slip) -> None:
    assert_safe(slip.clean)
    found = assert_found(slip.damage(slip.clean), *slip.finds)
    assert found[slip.finds[0]].energies == slip.energies
    for finding in found.values():
        # Cutting a running machine is the one of these that is only warned of.
        warned = finding.rule == "energy/cut-while-running"
        assert finding.level is (Level.WARNING if warned else Level.ERROR)


def test_every_slip_has_a_name_of_its_own() -> None:
    assert len({slip.name for slip in SLIPS}) == len(SLIPS)


def test_the_trace_of_a_job_that_stops_ends_with_the_failed_check() -> None:
    stopped = MEND.edit("{steps: [{close: motor}], end_here", "{end_here")
    found = assert_found(stopped, "graph/end-unsafe look motor")
    assert trace(found["graph/end-unsafe look motor"]) == (*stopped.straight("open-motor"), ("look", False))


def test_the_trace_of_a_job_that_stops_later_runs_through_its_otherwise() -> None:
    fed = CHANGE.edit(", feeds_back: false, why: ends free above the sink", "")
    finding = assert_found(
        fed,
        "energy/opened-live open-second second",
        "energy/verified-charged verify_zero-second second",
        "leak/worked-under-pressure tighten-second second",
        "graph/end-unsafe leak_check-second second",
    )["graph/end-unsafe leak_check-second second"]
    assert trace(finding) == (
        *fed.straight("restore-inlet"),
        ("leak_check-second", False),
        ("leak_check-second/otherwise/isolate-inlet", None),
    )


def test_a_seal_that_was_found_bad_counts_as_not_inspected() -> None:
    """What fails inspects nothing: the bad seal is closed in."""
    found = proofs(SEAL.edit("{new_seal: housing}", "").check())
    assert set(found) == {"leak/seal-not-inspected close-housing housing"}
    run = trace(found["leak/seal-not-inspected close-housing housing"])
    assert run[-2:] == (("seal", False), ("close-housing", None))


def test_what_a_failed_check_makes_true_is_not_true() -> None:
    steps = """
    id: test, check: The water is clear., makes: {residue: gone}, otherwise: {steps: [], continue: true}
    id: use, do: Use the tank., needs: {residue: gone}
    """
    found = proofs(case(SANITISE.unit, steps, "conditions: {residue: [there, gone]}\n").check())
    assert set(found) == {"graph/need-unmet use residue"}
    assert trace(found["graph/need-unmet use residue"]) == (("test", False), ("use", None))


def test_what_is_brought_in_is_not_there_before() -> None:
    assert_safe(SANITISE.drop("dose: {part: tank").edit("flush: pipe", "do: Look., id: look"))


def test_an_open_housing_that_fills_has_no_air_to_let_out() -> None:
    """Air is asked about where a shut housing comes to full pressure; an open one has worse findings."""
    found = proofs(CHANGE.drop("close: second").drop("bleed: second").check())
    assert "energy/energised-open refill second" in found
    assert not [name for name in found if name.startswith("leak/full-before-bleed")]


def test_an_emptied_tank_may_be_joined_to_an_opening() -> None:
    """What is without pressure lets nothing in."""
    both = BESIDE_TANK.edit("path: [housing, button]}", "path: [housing, button]}\n  tank_relief: "
                            "{energy: water, path: [tank, button]}")  # fmt: skip
    assert_safe(both.move("id: join", before="close: housing"))

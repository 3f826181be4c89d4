"""The slips of the trade, each a damage of one edit to a procedure that is safe without it.

That these slips happen and hurt is common practice in servicing, no source, but where a line names one. Each is
found by its rule on the right step and part, with everything else that follows from it and nothing more.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from proctool.model.finding import Level
from tests.prove.build import Case, assert_found, assert_safe, case, trace

# A water skid: a pump on a plug, two housings with a cartridge between them that may block, a gauge and a
# relief button on each, a user line that cannot feed back.
SKID = """\
unit: T
title: Water skid
energies:
  water: {form: liquid_pressure}
  mains: {form: electricity}
parts:
  supply: {role: source}
  inlet: {role: isolator, device: valve, throttles: true}
  pump: {role: component, runs: mains, near: []}
  first: {role: component, near: [pump]}
  cartridge: {role: restriction}
  second: {role: component, near: [pump], seal: O-ring, tighten: 22 N·m, traps_air: true}
  user_line: {role: outlet, feeds_back: false, why: ends free above the sink}
  button1: {role: vent}
  button2: {role: vent}
  gauge1: {role: gauge, at: first, energy: water}
  gauge2: {role: gauge, at: second, energy: water}
  socket: {role: source}
  plug: {role: isolator, device: plug, lock: cover}
lines:
  main: {energy: water, path: [supply, inlet, pump, first, cartridge, second, user_line]}
  relief1: {energy: water, path: [first, button1]}
  relief2: {energy: water, path: [second, button2]}
  power: {energy: mains, path: [socket, plug, pump]}
"""
CHANGE = case(
    SKID,
    """
    stop: pump
    isolate: inlet, lock: inlet
    isolate: plug, lock: plug
    id: relieve, vent: [button1, button2]
    verify_zero: {part: second, by: gauge2}
    open: second
    new_seal: second
    close: second
    tighten: second
    id: shut, shut: [button1, button2]
    id: refill, unlock: inlet, throttle: inlet
    bleed: second
    restore: inlet
    leak_check: second, otherwise: {steps: [{isolate: inlet}], end_here: Call service.}
    id: power, unlock: plug, restore: plug
    start: pump
    """,
)

# A tower of an air dryer between the compressor and a header that other machines keep under pressure. The check
# valve behind the tower lets air out to the header, and may stick.
DRYER = """\
unit: T
title: Air dryer
energies:
  air: {form: gas_pressure}
parts:
  compressor: {role: source}
  in_valve: {role: isolator, device: valve}
  tower: {role: component}
  check: {role: check_valve}
  filter: {role: component}
  out_valve: {role: isolator, device: valve}
  header: {role: outlet}
  tower_drain: {role: vent}
  filter_drain: {role: vent}
  tower_gauge: {role: gauge, at: tower, energy: air}
  filter_gauge: {role: gauge, at: filter, energy: air}
lines:
  main: {energy: air, path: [compressor, in_valve, tower, check, filter, out_valve, header]}
  drain1: {energy: air, path: [tower, tower_drain]}
  drain2: {energy: air, path: [filter, filter_drain]}
"""
DRY = case(
    DRYER,
    """
    isolate: in_valve, lock: in_valve
    isolate: out_valve, lock: out_valve
    id: drain, vent: [tower_drain, filter_drain]
    verify_zero: {part: tower, by: tower_gauge}
    open: tower
    close: tower
    id: shut, shut: [tower_drain, filter_drain]
    id: refill, unlock: in_valve, restore: in_valve
    leak_check: tower, otherwise: {steps: [{isolate: in_valve}, {isolate: out_valve}], end_here: Call service.}
    id: back, unlock: out_valve, restore: out_valve
    """,
)

# A housing with a tank behind a valve of its own: cut off and full, the tank is a source of its own kind.
TANKED = """\
unit: T
title: Skid with a tank
energies:
  water: {form: liquid_pressure}
parts:
  supply: {role: source}
  inlet: {role: isolator, device: valve}
  housing: {role: component, near: []}
  tank_valve: {role: isolator, device: valve}
  tank: {role: store, near: []}
  button: {role: vent}
  gauge: {role: gauge, at: housing, energy: water}
lines:
  main: {energy: water, path: [supply, inlet, housing, tank_valve, tank]}
  relief: {energy: water, path: [housing, button]}
"""
BESIDE_TANK = case(
    TANKED,
    """
    isolate: inlet, lock: inlet
    isolate: tank_valve, lock: tank_valve
    vent: button
    verify_zero: {part: housing, by: gauge}
    open: housing
    close: housing
    shut: button
    id: refill, unlock: inlet, restore: inlet
    leak_check: housing, otherwise: {steps: [{isolate: inlet}], end_here: Call service.}
    id: join, unlock: tank_valve, restore: tank_valve
    """,
)

# A lamp driver that keeps a charge in its capacitor.
LAMP = case(
    """\
unit: T
title: Lamp driver
energies:
  mains: {form: electricity}
parts:
  feed: {role: source}
  switch: {role: isolator, device: disconnector}
  driver: {role: store}
  tester: {role: gauge, at: any, energy: mains}
lines:
  power: {energy: mains, path: [feed, switch, driver]}
""",
    """
    isolate: switch, lock: switch
    discharge: driver
    verify_zero: {part: driver, by: tester}
    open: driver
    close: driver
    id: power, unlock: switch, restore: switch
    """,
)

# A board that a battery keeps alive when the mains is off.
BATTERY = case(
    """\
unit: T
title: Buffered board
energies:
  supply: {form: electricity}
parts:
  feed: {role: source}
  switch: {role: isolator, device: disconnector}
  board: {role: component}
  battery_switch: {role: isolator, device: disconnector}
  battery: {role: store}
  tester: {role: gauge, at: any, energy: supply}
lines:
  power: {energy: supply, path: [feed, switch, board, battery_switch, battery]}
""",
    """
    isolate: switch, lock: switch
    isolate: battery_switch, lock: battery_switch
    verify_zero: {part: board, by: tester}
    open: board
    close: board
    id: power, unlock: switch, restore: switch
    id: join, unlock: battery_switch, restore: battery_switch
    """,
)

# A plate exchanger: its pressure leaves by a drain, its heat by waiting, and neither takes the other with it.
PLATES = case(
    """\
unit: T
title: Plate exchanger
energies:
  hot_water: {form: liquid_pressure}
  heat: {form: heat}
parts:
  boiler: {role: source}
  inlet: {role: isolator, device: valve}
  plates: {role: component, near: []}
  drain: {role: vent}
  gauge: {role: gauge, at: plates, energy: hot_water}
  thermometer: {role: gauge, at: plates, energy: heat}
lines:
  main: {energy: [hot_water, heat], path: [boiler, inlet, plates]}
  down: {energy: hot_water, path: [plates, drain]}
""",
    """
    isolate: inlet, lock: inlet
    id: cool, discharge: plates
    vent: drain
    id: cold, verify_zero: {part: plates, by: thermometer}
    id: empty, verify_zero: {part: plates, by: gauge}
    open: plates
    close: plates
    shut: drain
    id: refill, unlock: inlet, restore: inlet
    leak_check: plates, otherwise: {steps: [{isolate: inlet}], end_here: Call service.}
    """,
)

# A small appliance on one plug that stays in the hand of the one person at work.
APPLIANCE = """\
unit: T
title: Appliance
energies:
  mains: {form: electricity}
parts:
  socket: {role: source}
  plug: {role: isolator, device: plug, exclusive_control: true}
  motor: {role: component}
  tester: {role: gauge, at: any, energy: mains}
lines:
  power: {energy: mains, path: [socket, plug, motor]}
"""
MEND = case(
    APPLIANCE,
    """
    isolate: plug
    verify_zero: {part: motor, by: tester}
    open: motor
    id: look, check: The brushes are sound., otherwise: {steps: [{close: motor}], end_here: Order brushes.}
    close: motor
    restore: plug
    """,
)
LEAVE_OPEN = case(
    APPLIANCE,
    """
    isolate: plug, lock: plug
    verify_zero: {part: motor, by: tester}
    open: motor
    """,
    "leaves: {plug: [unplugged, locked], motor: open}\n",
)

CLEAN = {
    "change": CHANGE,
    "dry": DRY,
    "beside tank": BESIDE_TANK,
    "lamp": LAMP,
    "battery": BATTERY,
    "plates": PLATES,
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
        ("energy/unlocked-early join tank_valve",),
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
            # The failed check closes the inlet and ends the job, the housing open behind a valve without a lock.
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
        lambda c: c.edit("isolate: plug, lock: plug", "isolate: plug").edit("[unplugged, locked]", "unplugged"),
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


SLIPS = [*ISOLATION, *RELIEF, *VERIFYING, *REFILLING, *LEAKS, *RETURNING]


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

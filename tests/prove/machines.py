"""Machines of our own invention and a safe procedure on each, to be damaged by one edit."""

from __future__ import annotations

from tests.prove.build import case

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

# A tower of an air dryer between the compressor and a header that other machines keep under pressure. The
# check valve behind the tower lets air out to the header, and may stick.
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
    leak_check: tower, otherwise: {steps: [{isolate: [in_valve, out_valve]}], end_here: Call service.}
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

# The cartridge's own boundary is opened: it holds nothing, so its zero is that of the housings on both sides,
# and both of them owe a leak check.
INSIDE = case(
    SKID,
    """
    stop: pump
    isolate: inlet, lock: inlet
    isolate: plug, lock: plug
    id: relieve, vent: [button1, button2]
    id: zero1, verify_zero: {part: first, by: gauge1}
    id: zero2, verify_zero: {part: second, by: gauge2}
    open: cartridge
    close: cartridge
    id: shut, shut: [button1, button2]
    id: refill, unlock: inlet, throttle: inlet
    restore: inlet
    leak_check: first, otherwise: {steps: [{isolate: inlet}], end_here: Call service.}
    leak_check: second, otherwise: {steps: [{isolate: inlet}], end_here: Call service.}
    id: power, unlock: plug, restore: plug
    start: pump
    """,
)

# A line that asks for two valves and a bleed between them.
BLED = case(
    """\
unit: T
title: Steam coil
energies:
  steam: {form: steam, isolation: double_block_and_bleed}
parts:
  header: {role: source}
  block1: {role: isolator, device: valve}
  bleed: {role: vent}
  block2: {role: isolator, device: valve}
  coil: {role: component, near: []}
  drain: {role: vent}
lines:
  main: {energy: steam, path: [header, block1, block2, coil]}
  between: {energy: steam, path: [block1, bleed, block2]}
  down: {energy: steam, path: [coil, drain]}
""",
    """
    isolate: block1, lock: block1
    isolate: block2, lock: block2
    vent: bleed
    vent: drain
    verify_zero: {part: coil, by: drain}
    open: coil
    close: coil
    shut: drain
    shut: bleed
    id: refill2, unlock: block2, restore: block2
    id: refill1, unlock: block1, restore: block1
    leak_check: coil, otherwise: {steps: [{isolate: block1}], end_here: Call service.}
    """,
)

# A lamp behind a cover, and a tester that reaches it only when the cover is off.
COVERED = case(
    """\
unit: T
title: Lamp
energies:
  mains: {form: electricity}
parts:
  feed: {role: source}
  switch: {role: isolator, device: disconnector}
  lamp: {role: component, cover: true}
  tester: {role: gauge, at: any, energy: mains}
lines:
  power: {energy: mains, path: [feed, switch, lamp]}
""",
    """
    isolate: switch, lock: switch
    uncover: lamp
    verify_zero: {part: lamp, by: tester}
    open: lamp
    close: lamp
    cover: lamp
    id: power, unlock: switch, restore: switch
    """,
)

# A fan whose driver keeps a charge of its own: cut off, it is no longer driven, and not yet dead.
DRIVER = case(
    """\
unit: T
title: Fan
energies:
  mains: {form: electricity}
parts:
  feed: {role: source}
  switch: {role: isolator, device: disconnector}
  fan: {role: store, runs: mains}
lines:
  power: {energy: mains, path: [feed, switch, fan]}
""",
    """
    stop: fan
    isolate: switch
    restore: switch
    start: fan
    """,
)

# A seal that is looked at, and renewed where it is not sound.
SEAL = case(
    TANKED.replace("housing: {role: component", "housing: {role: component, seal: O-ring"),
    """
    isolate: [inlet, tank_valve], lock: [inlet, tank_valve]
    vent: button
    verify_zero: {part: housing, by: gauge}
    open: housing
    id: seal, check: The O-ring is sound., inspect_seal: housing, otherwise: {steps: [ \
        {new_seal: housing}], continue: true}
    close: housing
    shut: button
    unlock: [inlet, tank_valve], restore: [inlet, tank_valve]
    leak_check: housing, otherwise: {steps: [{isolate: inlet}], end_here: Call service.}
    """,
)

# What disinfects is brought in by the technician, and must be out again.
SANITISE = case(
    """\
unit: T
title: Tank
energies:
  water: {form: liquid_pressure}
  chlorine: {form: chemical, brought: true}
parts:
  supply: {role: source}
  tank: {role: component, near: []}
  pipe: {role: component, near: []}
lines:
  main: {energy: water, path: [supply, tank, pipe]}
  dosed: {energy: chlorine, path: [tank, pipe]}
""",
    """
    dose: {part: tank, energy: chlorine}
    flush: pipe
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

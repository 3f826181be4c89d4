"""Nothing is opened while a tank under pressure can still feed it through a check valve or a cartridge.

Why: A tank keeps its pressure when the supply is cut. The part before it stands at zero because its own vent
is open; when the check valve leaks or the cartridge lets go, the whole tank comes out where the hands are.

Source: 29 CFR 1910.147(d)(5)(i): all stored energy is relieved, disconnected, restrained or made safe. That a
check valve or a cartridge isolates nothing is common practice, no source.

Bad::

    unit:
      parts:
        check: {role: check_valve, name: check valve}
        tank: {role: store, name: bladder tank, near: []}
      lines:
        branch: {energy: water, path: [housing, check, tank]}
    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing

Good::

    unit:
      parts:
        check: {role: check_valve, name: check valve}
        tank: {role: store, name: bladder tank, near: []}
        tank_valve: {role: isolator, device: valve, name: tank valve, tag: V3, place: on its neck, lock: hasp}
      lines:
        branch: {energy: water, path: [housing, check, tank_valve, tank]}
    steps:
      - isolate: tank_valve
        lock: tank_valve
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
"""

from proctool.rules.rule import Rule

RULE = Rule("energy/store-joined", page=__doc__)

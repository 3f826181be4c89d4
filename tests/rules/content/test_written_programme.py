"""29 CFR 1910.147(c)(4)(ii): what a written procedure must hold, item by item, and what finds it lacking.

Each item takes one thing out of the clean example. Scope, purpose and means of enforcement beyond the
procedure itself (training, discipline) are the employer's programme, and no matter of this file format.
"""

from __future__ import annotations

import pytest

from tests.rules import example

LOCKED = "  - isolate: inlet_valve\n    lock: inlet_valve\n"
VERIFIED = """\
  - each: {part: opens}
    steps:
      - verify_zero: part
        otherwise: {end_here: Leave the locks on and call for help.}
"""
TAKEN_OFF = "  - unlock: inlet_valve\n"
REVISED = "date: 2026-01-12"

ITEMS = {
    "scope: the machines it is for": [("procedure.yaml", "units: [EX-1]\n", "", "file/schema")],
    "(A) a specific statement of the intended use": [
        ("procedure.yaml", "title: Change the cartridge\n", "", "file/schema"),
    ],
    "authorization: who does it, trained for what": [
        ("procedure.yaml", "people: [technician]\n", "", "content/no-people"),
        ("library.yaml", "people: {technician: technician}\n", "", "content/no-people"),
    ],
    "(B) shutting down": [("make-safe.yaml", "  - stop: pump\n", "", "energy/cut-while-running")],
    "(B) isolating": [
        ("make-safe.yaml", LOCKED, "", "energy/opened-live"),
    ],
    "(B) blocking and relieving what is stored": [
        ("make-safe.yaml", "  - vent: drain\n", "", "energy/opened-charged"),
    ],
    "(B) securing": [
        ("make-safe.yaml", LOCKED, "  - isolate: inlet_valve\n", "energy/opened-unlocked"),
    ],
    "(C) placing lockout devices": [
        ("make-safe.yaml", LOCKED, "  - isolate: inlet_valve\n", "energy/opened-unlocked"),
    ],
    "(C) removing them": [
        ("restore.yaml", TAKEN_OFF, "", "energy/lock-left"),
        (
            "procedure.yaml",
            "  - do: Unscrew",
            "  - unlock: inlet_valve\n    id: early\n  - do: Unscrew",
            "energy/opened-unlocked",
        ),
    ],
    "(C) the responsibility for them": [
        (
            "procedure.yaml",
            "people: [technician]\n",
            "people: [technician, technician]\n",
            "content/group-lock",
        ),
    ],
    "(D) testing that the controls work": [("make-safe.yaml", VERIFIED, "", "energy/opened-unproven")],
    "enforcement: a yearly inspection, (c)(6)": [
        ("procedure.yaml", REVISED, "date: 2024-01-12", "content/inspection-overdue"),
    ],
}
CASES = [(item, *case) for item, cases in ITEMS.items() for case in cases]


@pytest.mark.parametrize(("item", "file", "old", "new", "rule"), CASES, ids=[case[0] for case in CASES])
def test_what_is_lacking_is_found(item, file, old, new, rule):
    files = example.clean()
    assert files[file].count(old) == 1, item
    files[file] = files[file].replace(old, new)
    assert rule in {finding.rule for finding in example.check(files).findings}


def test_with_all_of_it_nothing_is_found():
    assert example.check(example.clean()).findings == ()

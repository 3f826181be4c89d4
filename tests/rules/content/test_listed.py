"""Which words of a text are things to bring along, and which only look like it."""

from __future__ import annotations

import pytest

from proctool.api import Library
from proctool.rules.content.nouns import ORDERS, SUPPLY, TOOL, WORN, noun_in
from tests.rules import example


@pytest.mark.parametrize(
    ("text", "nouns"),
    [
        ("Loosen the clamp with a 13 mm spanner.", ["spanner"]),
        ("Loosen the clamp with the torque wrench and a mallet.", ["torque wrench", "mallet"]),
        ("Brush the screen until it is clean.", []),
        ("Hammer no part.", []),
        ("Tighten the / with the /.", []),
        ("Read the pressure gauge.", []),
        ("Ladder of alarms: none.", []),
    ],
)
def test_tools(text, nouns):
    assert [noun_in(found) for found in TOOL.finditer(text)] == nouns


@pytest.mark.parametrize(
    ("text", "nouns"),
    [
        ("Fit a new O-ring to the /.", ["O-ring"]),
        ("Wipe the thread with a little grease.", ["grease"]),
        ("Fill the / with oil.", ["oil"]),
        ("Put a thin film of silicone grease on the seal.", ["grease"]),
        ("Wipe the old grease off.", []),
        ("Let the oil run out.", []),
        ("Look at the O-ring of the /.", []),
        ("Take the used cartridge out.", []),
        ("Fit a new / to the /.", []),
    ],
)
def test_supplies(text, nouns):
    assert [noun_in(found) for found in SUPPLY.finditer(text)] == nouns


@pytest.mark.parametrize(
    ("avoid", "worn"),
    [
        ("Wear safety glasses and gloves.", ["safety glasses", "gloves"]),
        ("Put on a face shield.", ["face shield"]),
        ("Open it only at 0 bar.", []),
        ("Keep your gloves away from the belt.", []),
    ],
)
def test_what_a_message_orders_to_wear(avoid, worn):
    assert (WORN.findall(avoid) if ORDERS.search(avoid) else []) == worn


def test_a_portable_tester_stands_among_the_tools():
    """It is a gauge of the unit file, but nobody finds it at the unit."""
    files = example.clean()
    vent = "  - vent: drain\n"
    dead = f"{vent}  - verify_zero: {{part: pump, by: tester}}\n    otherwise: {{end_here: Call for help.}}\n"
    files["make-safe.yaml"] = files["make-safe.yaml"].replace(vent, dead)
    assert files != example.clean()
    tools = [
        case.plan.facts.tools
        for texts in (files, example.clean())
        for case in Library.from_texts(texts).cases()
    ]
    assert tools == [("strap wrench", "voltage tester"), ("strap wrench",)]

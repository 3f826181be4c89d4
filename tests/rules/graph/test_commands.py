"""What a text tells someone to move: which verbs are commands, and which parts they act on."""

import re

import pytest

from proctool.api import Library
from proctool.model.plan import Filled
from proctool.rules.graph.commands import commands
from tests.rules import example

UNIT = Library.from_texts(example.clean()).units.whole["EX-1"]


def told(text):
    """The commands of a text with `<part>` filled as the resolver fills it."""
    whole, filled, done = "", [], 0
    for match in re.finditer(r"<(\w+)>", text):
        whole += text[done : match.start()]
        done = match.end()
        part = UNIT.parts.get(match[1])
        start = len(whole)
        whole += part.label if part else match[1]
        filled.append(Filled(start, len(whole), part.id if part else None))
    return [(c.verb, c.parts) for c in commands(whole + text[done:], tuple(filled), UNIT)]


@pytest.mark.parametrize(
    ("text", "verb", "parts"),
    [
        ("Unscrew the <housing> with the <wrench>.", "unscrew", "housing"),
        ("Unscrew the FILTER HOUSING.", "unscrew", "housing"),
        ("Slowly open V2.", "open", "drain"),
        ("Switch the <pump> off.", "switch off", "pump"),
        ("Switch off the <pump>.", "switch off", "pump"),
        ("Turn the <pump> on with the switch at the <plug>.", "turn on", "pump"),
        ("Pull the <plug> out of its socket and put it in its cover.", "pull out", "plug"),
        ("Pull the <plug>.", "pull", "plug"),
        ("Plug the <plug> in.", "plug in", "plug"),
        ("Shut the <pump> down.", "shut down", "pump"),
        ("Drain the <housing> through the <drain>.", "drain", "housing"),
        ("Close and lock the <inlet_valve>.", "close", "inlet_valve"),
        ("Close the <inlet_valve> and the <drain>.", "close", "inlet_valve drain"),
        ("Open the <inlet_valve>, the <drain> and the <tap>.", "open", "inlet_valve drain tap"),
        ("Open the <inlet_valve> until the <pump> starts.", "open", "inlet_valve"),
        ("When the <pump> stops, open the <drain>.", "open", "drain"),
        ("If the <pump> does not stop, close the <inlet_valve>.", "close", "inlet_valve"),
        ("Wait until the flow stops and close the <drain>.", "close", "drain"),
        ("Put a bucket under the <drain> and unscrew the <housing>.", "unscrew", "housing"),
        ("Use the <wrench> to loosen the <housing>.", "loosen", "housing"),
        ("Tell the crew to stop the <pump>.", "stop", "pump"),
        ("Make sure to close the <drain>.", "close", "drain"),
        ("Let the water out by opening the <drain>.", "open", "drain"),
        ("Loosen the four nuts of the <housing>.", "loosen", "housing"),
        ("Take the cover off the <pump>.", "take off", "pump"),
        ("Take off the <housing>.", "take off", "housing"),
        ("Take your lock and tag off the <plug>.", "take off", "plug"),
    ],
)
def test_a_command(text, verb, parts):
    assert told(text) == [(verb, tuple(parts.split()))]


def test_several():
    found = told("Open V2, then close the <inlet_valve>. Stop the <pump>.")
    assert found == [("open", ("drain",)), ("close", ("inlet_valve",)), ("stop", ("pump",))]


@pytest.mark.parametrize(
    "text",
    [
        "Wait until the <housing> is cold.",
        "Wait until the <pump> stops.",
        "Check that the <drain> is open.",
        "The open <housing> has no crack.",
        "Do not open the <housing>.",
        "Never loosen the <housing> or open the <drain>.",
        "If you stop the <pump> and open the <drain>, water comes out.",
        "Get ready to close the <drain>.",
        "Take the used cartridge out of the <housing>.",
        "Take the towel off the <pump>.",
        "Turn the key on the <pump>.",
        "Open the tool box beside the <pump>.",
        "Close the tool box and wipe the <pump>.",
        "Screw the <housing> on.",
        "Loosen the <cartridge>.",
        "The pump may start by itself when the <plug> is in.",
    ],
)
def test_no_command(text):
    assert told(text) == []


def test_a_longer_name_is_not_taken_for_a_shorter_one_in_it():
    assert told("Pull the pump plug.") == [("pull", ("plug",))]


def test_a_property_is_no_part_even_where_a_part_has_its_name():
    text = "Loosen the filter housing."
    start = text.index("filter")
    stretch = Filled(start, start + len("filter housing"), None)
    assert list(commands(text, (stretch,), UNIT)) == []

"""When a joint must be looked at again with the pump running, and when there is nothing to ask."""

import pytest

from proctool.model.verdict import Verdict
from tests.rules import example

RULE = "leak/boost-unseen"
AGAIN = """  - each: {part: opens}
    id: leaks-again
    steps:
      - check: No water comes out at the <part> while the <pump> runs.
        leak_check: part
        for: 1 min
        otherwise: {steps: [{use: make-safe}], end_here: Call for help.}
"""
START = "  - start: pump\n"
RAYS = "  rays: {form: radiation, normal: 40 W, safe: 0 W}\n"
GALLERY = "  gallery: {role: component, name: lamp gallery, near: []}\n"
LIGHT = "  light: {energy: rays, path: [pump, gallery]}\n"


def edited(*edits):
    """The clean library with each edit (file, text, its new text) made where the text stands once."""
    files = example.clean()
    for file, old, new in edits:
        assert files[file].count(old) == 1
        files[file] = files[file].replace(old, new)
    return files


def told(*edits):
    """What the rule finds: (step, part)."""
    found = example.check(edited(*edits))
    assert Verdict.UNPROVEN not in {judgement.verdict for judgement in found.verdicts}
    return [(f.step, f.part) for f in found.findings if f.rule == RULE]


UNSEEN = ("restore.yaml", AGAIN, "")


class TestAsked:
    def test_no_look_after_the_start(self):
        assert told(UNSEEN) == [("restore/start-pump", "housing")]

    def test_a_look_that_a_stop_precedes(self):
        assert told(("restore.yaml", AGAIN, "  - stop: pump\n" + AGAIN))

    def test_a_look_that_another_start_follows(self):
        second = "  - stop: pump\n    id: stop-again\n  - start: pump\n    id: start-again\n"
        assert told(("restore.yaml", AGAIN, AGAIN + second)) == [("restore/start-again", "housing")]

    def test_a_look_that_need_not_come_after_the_start(self):
        free = ("restore.yaml", "    id: leaks-again\n", "    id: leaks-again\n    after: [leaks]\n")
        assert told(free)

    def test_a_joint_on_another_line_that_the_pressure_comes_to(self):
        split = "path: [supply, inlet_valve, pump]}\n  filter: {energy: water, path: [pump, housing, tap]}"
        assert told(UNSEEN, ("unit.yaml", "path: [supply, inlet_valve, pump, housing, tap]}", split))

    def test_the_pump_itself(self):
        opens = ("procedure.yaml", "opens: [housing]", "opens: [pump]")
        steps = example.clean()["procedure.yaml"].partition("steps:\n")[2].partition("revisions")[0]
        own = """  - use: make-safe
  - do: Unscrew the lid of the <pump>.
    open: pump
  - do: Screw the lid of the <pump> on.
    close: pump
  - use: restore
"""
        assert told(UNSEEN, opens, ("procedure.yaml", steps, own)) == [("restore/start-pump", "pump")]

    def test_the_holder_beside_a_device_that_is_opened(self):
        opened = "    open: housing\n  - dismantle: drain\n  - reassemble: drain\n"
        assert told(UNSEEN, ("procedure.yaml", "    open: housing\n", opened)) == [
            ("restore/start-pump", "housing")
        ]


class TestNotAsked:
    def test_the_clean_library(self):
        assert told() == []

    def test_a_stop_after_the_look(self):
        assert told(("restore.yaml", AGAIN, AGAIN + "  - stop: pump\n")) == []

    def test_a_pump_that_is_never_started(self):
        assert told(UNSEEN, ("restore.yaml", START, "")) == []

    def test_a_start_that_always_comes_before_the_opening(self):
        first = ("procedure.yaml", "  - use: make-safe\n", START + "  - use: make-safe\n")
        assert told(UNSEEN, ("restore.yaml", START, ""), first) == []

    def test_a_joint_behind_the_source(self):
        """What the main feeds beside the pump does not see the pump's pressure."""
        apart = "path: [pump, supply, inlet_valve, housing, tap]}"
        assert told(UNSEEN, ("unit.yaml", "path: [supply, inlet_valve, pump, housing, tap]}", apart)) == []

    @pytest.mark.parametrize("light", [LIGHT, ""], ids=["lamp", "pump"])
    def test_a_lamp_raises_no_pressure(self, light):
        found = told(
            UNSEEN,
            ("unit.yaml", "energies:\n", "energies:\n" + RAYS),
            ("unit.yaml", "parts:\n", "parts:\n" + GALLERY),
            ("unit.yaml", "lines:\n", "lines:\n" + light),
        )
        assert bool(found) is not bool(light)

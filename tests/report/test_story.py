"""Stories in the reports: line by line for people, as keys for programs."""

from __future__ import annotations

import json
from dataclasses import replace

from proctool.model.finding import Finding, Level, Move
from proctool.model.story import Change, Event, Fix, Mend, Route, Story
from proctool.report.json import report
from proctool.report.story import advice, told, ways

SHORT = Route("water", ("supply", "bypass"), "water: water main → bypass valve V7")
LONG = Route("water", ("supply", "bypass", "second"), "water: water main → bypass valve V7 → carbon housing")
OTHER = Route("water", ("tank", "second"), "water: bladder tank → carbon housing")
FOUND = Finding(
    "energy/opened-live",
    Level.ERROR,
    "The carbon housing is opened while water still feeds it.",
    "p.yaml",
    unit="U-1",
    step="open",
    part="second",
    trace=(Move("fill", None), Move("zero", False), Move("open", None)),
    told=("Open it a little.", "It reads 0 bar.", "Open the housing."),
    story=Story(
        (
            Event(
                (Change("bypass", "part open"), Change("second", "live", "zero", "water")),
                (SHORT, LONG, OTHER),
                ("bypass valve V7 part open", "carbon housing (water): zero → live"),
            ),
            Event(),
            Event((Change("second", "opened"),), (LONG,), ("carbon housing opened",)),
        ),
        (LONG, SHORT),
        Mend("Isolate the bypass valve V7 before this step.", (Fix("isolate", "bypass"),)),
    ),
    help="Isolate every source of it first. Isolate the bypass valve V7 before this step.",
)


def test_each_step_with_what_it_changed_and_the_longest_ways():
    assert [(step.number, step.text, step.breaks, step.more) for step in told(FOUND)] == [
        (
            1,
            "Open it a little.",
            False,
            ("bypass valve V7 part open", "carbon housing (water): zero → live", LONG.told, OTHER.told),
        ),
        (2, "It reads 0 bar. (not so)", False, ()),
        (3, "Open the housing.", True, ("carbon housing opened",)),
    ]


def test_the_way_at_the_moment_it_breaks_is_told_once():
    assert ways(FOUND) == (LONG.told,)


def test_a_trace_without_a_story_still_has_its_steps():
    plain = replace(FOUND, story=None)
    first = told(plain)[0]
    assert (first.text, first.more) == ("Open it a little.", ())
    assert ways(plain) == ()
    assert told(replace(plain, trace=(), told=())) == ()


def test_a_fault_at_the_end_marks_no_step():
    assert not any(step.breaks for step in told(replace(FOUND, step=None)))


class TestAdvice:
    def test_one_fault_is_advised_on_once(self):
        assert advice([FOUND, replace(FOUND, unit="U-2")]) == (FOUND.help,)
        assert advice([replace(FOUND, help=None, story=None)]) == ()

    def test_units_that_need_another_mend_are_told_apart(self):
        assert FOUND.story is not None
        mend = Mend("Isolate the well valve V6 before this step.", (Fix("isolate", "well_valve"),))
        other = replace(
            FOUND,
            unit="U-6",
            story=replace(FOUND.story, mend=mend),
            help=f"Isolate every source of it first. {mend.text}",
        )
        assert advice([other, replace(FOUND, unit="U-2"), FOUND]) == (
            "Isolate every source of it first.",
            "On U-1, U-2: Isolate the bypass valve V7 before this step.",
            "On U-6: Isolate the well valve V6 before this step.",
        )


def test_the_keys_for_programs():
    (said,) = json.loads(report("L", [FOUND], []))["findings"]
    assert said["trace"][0] == {
        "step": "fill",
        "passed": None,
        "changed": [
            {"part": "bypass", "now": "part open"},
            {"part": "second", "energy": "water", "was": "zero", "now": "live"},
        ],
        "path": [
            {"energy": "water", "parts": ["supply", "bypass"]},
            {"energy": "water", "parts": ["supply", "bypass", "second"]},
            {"energy": "water", "parts": ["tank", "second"]},
        ],
    }
    assert said["trace"][1] == {"step": "zero", "passed": False, "changed": [], "path": []}
    assert said["path"][0] == {"energy": "water", "parts": ["supply", "bypass", "second"]}
    assert said["mend"] == {
        "text": "Isolate the bypass valve V7 before this step.",
        "acts": [{"isolate": "bypass"}],
    }


def test_a_look_says_by_what():
    assert FOUND.story is not None
    mend = Mend("Verify zero.", (Fix("verify_zero", "second", "gauge2"),))
    (said,) = json.loads(report("L", [replace(FOUND, story=replace(FOUND.story, mend=mend))], []))["findings"]
    assert said["mend"]["acts"] == [{"verify_zero": "second", "by": "gauge2"}]

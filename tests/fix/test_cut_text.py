"""Sentences that YAML cut: whole after `>-` or in quotes; what may have been meant otherwise stays."""

import pytest

from proctool.fix.cut_text import TOO_MANY
from proctool.fix.reading import readable
from tests.fix.small import sheet_of

FILE = """\
procedure: example
title: Look
units: [EX-1]
steps:
  - do: See the pump.   # first
{step}
  - do: Go.
"""


def tried(step):
    """The step after fixing, what it says then, and why it was not fixed."""
    sheet = sheet_of(FILE.format(step=step))
    assert sheet.faults
    fixed, made, left = readable(sheet)
    before, after = FILE.format(step="\0").split("\0")
    assert fixed.text.startswith(before)
    assert fixed.text.endswith(after)
    said = fixed.root.get("steps").items[1] if made else None
    return fixed.text[len(before) : -len(after)], said, [p.unsure for p in left]


@pytest.mark.parametrize(
    ("step", "fixed", "text"),
    [
        ("  - do: Note: see it", "  - do: >-\n      Note: see it", "Note: see it"),
        ("  - do: Torque bolt #3 and #4", "  - do: >-\n      Torque bolt #3 and #4", "Torque bolt #3 and #4"),
        ("  -   do:  80: see it \t", "  -   do:  >-\n        80: see it", "80: see it"),
        ("  - do: @ see it", "  - do: >-\n      @ see it", "@ see it"),
        ("  - do: % of it", "  - do: >-\n      % of it", "% of it"),
        (
            "  - {do: See it, and wait., once: true}",
            "  - {do: 'See it, and wait.', once: true}",
            "See it, and wait.",
        ),
        ("  - {do: See it, it's on}", "  - {do: 'See it, it''s on'}", "See it, it's on"),
        (
            "  - {id: a, do: See a, see b, and c.}",
            "  - {id: a, do: 'See a, see b, and c.'}",
            "See a, see b, and c.",
        ),
        (
            "  - id: a\n    do: Note: see it\n    once: true",
            "  - id: a\n    do: >-\n      Note: see it\n    once: true",
            "Note: see it",
        ),
    ],
)
def test_a_sentence_is_made_whole(step, fixed, text):
    after, said, left = tried(step)
    assert after == fixed
    assert said.get("do").text == text
    assert left == []


@pytest.mark.parametrize(
    "step",
    [
        "  - do: See it # and wait",
        "  - do: See bolt #three",
        "  - do: # see it",
        '  - do: "See" it',
        "  - do: {see} it",
        "  - do: > see it",
        "  - do: &see it: now",
        "  - do: Note: see it\n      and wait",
        "  - {do: See it, wait}",
        "  - {do: See it, and wait\n      for it}",
        "  - {do: Note: see it}",
        "  - {do: See it #3}",
        "  - needs: pump: stopped",
    ],
)
def test_what_is_not_sure_stays(step):
    after, _, left = tried(step)
    assert after == step
    assert left


def test_many_cuts_of_one_file_are_fixed_together():
    steps = "\n".join(f"  - do: Note: see {n}\n  - {{do: See it, and {n}.}}" for n in range(15))
    sheet = sheet_of(FILE.format(step=steps))
    fixed, made, left = readable(sheet)
    assert (len(made), left, fixed.faults) == (30, [], ())


def test_more_than_the_reader_tells_at_once_are_left_to_people():
    steps = "\n".join(f"  - {{do: See it, and {n}.}}" for n in range(30))
    sheet = sheet_of(FILE.format(step=steps))
    fixed, made, left = readable(sheet)
    assert (fixed.text, made) == (sheet.text, [])
    assert {p.unsure for p in left} == {TOO_MANY}


def test_a_file_with_another_fault_stays():
    step = '  - do: Note: see it\n  - do: "not closed'
    sheet = sheet_of(FILE.format(step=step))
    fixed, made, left = readable(sheet)
    assert (fixed.text, made) == (sheet.text, [])
    assert "another fault of this file must be put right first" in {p.unsure for p in left}


def test_a_file_with_too_many_cuts_is_left_to_people(monkeypatch):
    monkeypatch.setattr("proctool.fix.reading.MAX_ROUNDS", 3)
    steps = "\n".join(f"  - do: Note: see {n}" for n in range(5))
    sheet = sheet_of(FILE.format(step=steps))
    fixed, made, left = readable(sheet)
    assert (fixed.text, made, len(left)) == (sheet.text, [], 1)

"""A signal word in other letters, and in no other way wrong."""

import pytest

from proctool.fix.reading import readable
from tests.fix.small import sheet_of

UNIT = "unit: U\nenergies:\n  w: {form: heat, warning: {%s}}\nparts: {}\nlines: {}\n"


@pytest.mark.parametrize(
    ("word", "right"), [("Warning", "warning"), ("DANGER", "danger"), ("'Notice'", "'notice'")]
)
def test_a_signal_word_is_written_small(word, right):
    text = UNIT % "word: %s, hazard: Hot., harm: Burns."
    sheet = sheet_of(text % word)
    fixed, made, _ = readable(sheet)
    assert fixed.text == text % right
    assert [p.finding.rule for p in made] == ["file/schema"]


@pytest.mark.parametrize("word", ["Warnings", "'''Danger'''", "attention", "[Warning]"])
def test_another_word_stays(word):
    text = UNIT % f"word: {word}, hazard: Hot."
    sheet = sheet_of(text)
    assert sheet.faults
    assert readable(sheet)[0].text == text


def test_a_word_outside_a_safety_message_stays():
    text = (
        "unit: U\nenergies:\n  w: {form: heat, warning: {word: Warning, colour: red}}\nparts: {}\nlines: {}\n"
    )
    sheet = sheet_of(text)
    assert readable(sheet)[0].text == text

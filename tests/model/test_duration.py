"""Durations: what is one, what is none and why, and what is left to people."""

import pytest

from proctool.model.duration import duration_fault


@pytest.mark.parametrize(
    "text",
    ["40 min", "30 s", "1/2 h", "6 months", "1 week", "20 to 30 min", "10 min or more", "1 h to 90 min"],
)
def test_durations(text):
    assert duration_fault(text) is None


@pytest.mark.parametrize("text", ["until it stops", "about 20 min", "on failure", ""])
def test_words_are_for_people(text):
    assert duration_fault(text) is None


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (
            "40 minn",
            "`40 minn` cannot be read: `minn` is not a measure that is known here. Did you mean `min`?",
        ),
        ("2 bar", "`2 bar` is pressure; expected a duration such as `40 min`."),
        ("10 °C or more", "`10 °C or more` is temperature; expected a duration such as `40 min`."),
        ("10", "`10` is a bare number; expected a duration such as `40 min`."),
        ("25 %", "`25 %` is number; expected a duration such as `40 min`."),
        ("0 min", "`0 min` is no duration: expected more than 0."),
        ("-5 min", "`-5 min` is no duration: expected more than 0."),
        ("0 to 5 min", "`0 to 5 min` is no duration: expected more than 0."),
        ("1e3 s", "has an exponent; write the number out"),
        ("1,5 h", "has a comma in its number"),
        ("10 to 5 min", "cannot be read"),
        ("5 min to 2 bar", "cannot be read"),
    ],
)
def test_what_is_none(text, message):
    assert message in (duration_fault(text) or "")


def test_a_long_one_is_shown_shortened():
    found = duration_fault("9" * 5000)
    assert found is not None and len(found) < 150

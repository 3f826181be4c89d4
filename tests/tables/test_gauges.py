"""Errors of gauges: along the scale, and how far they move a limit."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proctool.model.rows import Gauge
from proctool.tables.gauges import (
    Stretch,
    error_at,
    largest_division,
    last_open,
    last_sure,
    mirrored,
    read_gauge,
)
from tests.tables.make import unit


def gauge(text: str) -> Gauge:
    wrong: list[str] = []
    found = read_gauge(unit(text).parts["before"], lambda message, span: wrong.append(message))
    assert wrong == []
    return found


def wrong_with(text: str) -> list[str]:
    wrong: list[str] = []
    read_gauge(unit(text).parts["before"], lambda message, span: wrong.append(f"{span.file}: {message}"))
    return wrong


@pytest.mark.parametrize(
    ("text", "errors"),
    [
        # ASME B40.100 grade A: 2 % of span in the end quarters (instrumart.com, read), else 1 % (memory).
        ("span: 100 psi, accuracy: grade A", {20: "2", 50: "1", 25: "2", 75: "2", 26: "1", 90: "2"}),
        # Grade B 3-2-3 %: US Army text MM04868 (read). Where the bands meet we take the larger error.
        (
            "span: 160 psi, accuracy: grade B",
            {41: "3.2", 119: "3.2", 40: "4.8", 120: "4.8", 0: "4.8", 160: "4.8"},
        ),
        # One number: a share of the span, not of the reading.
        ("span: 10 bar, accuracy: 1.6 %", {0: "0.16", 5: "0.16", 10: "0.16"}),
        ("span: 10 bar, accuracy: class 1.6", {5: "0.16"}),
        ("span: 10 bar, accuracy: 0.05 bar", {5: "0.05"}),
        ("span: 10 bar, accuracy: 0.725 psi", {5: "0.04998699"}),
        ("span: -1 to 9 bar, accuracy: grade A", {0: "0.2", 4: "0.1", 8: "0.2"}),
        ("span: 100 psi, accuracy: grade 2A", {20: "0.5", 50: "0.5"}),
        # Half a division is added: a pointer between two marks is read as the nearer one.
        ("span: 10 bar, accuracy: 1.6 %, division: 0.1 bar", {5: "0.21"}),
        ("span: 10 bar, accuracy: 0 %, division: 10 kPa", {5: "0.05"}),
    ],
)
def test_the_error_at_a_reading(text, errors):
    found = gauge(text)
    for reading, error in errors.items():
        assert round(found.error_at(Fraction(reading)) or Fraction(0), 8) == Fraction(error)


def test_an_error_of_two_per_cent_of_range_is_allowed_in_the_middle_of_grade_b():
    """US Army text MM04868 (read): 0 to 500 psi, true 250, shown 260: +10 psi, +2 % of range; 240: -2 %."""
    found = gauge("span: 500 psi, accuracy: grade B")
    assert found.error_at(Fraction(260)) == found.error_at(Fraction(240)) == 10
    assert Fraction(260 - 250, 500) == Fraction(2, 100)


def test_the_largest_division_of_a_grade():
    """ASME B40.100 (seen in a public extract): at most twice the error of the middle half."""
    assert largest_division(gauge("span: 100 psi, accuracy: grade B")) == 4
    assert largest_division(gauge("span: 100 psi, accuracy: 2 %")) is None


def test_what_a_file_does_not_say_is_unknown():
    found = gauge("usual: 1 to 2 bar")
    assert (found.accuracy, found.error_at(Fraction(1)), found.low, found.division) == (
        None,
        None,
        None,
        None,
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("span: 10 bar, accuracy: grade E", "`grade E` is no accuracy; expected"),
        ("span: 10 bar, accuracy: B", "`B` is no accuracy"),
        ("span: 10 bar, accuracy: 2A", "`2A` is no accuracy"),
        ("span: 10 bar, accuracy: 3 s", "`3 s` is no accuracy"),
        ("span: 10 bar, accuracy: -1 %", "is no accuracy"),
        ("accuracy: 1.6 %", "needs a `span`"),
        ("span: 0 bar", "is no span"),
        ("span: 10 bar or less", "is no span"),
        ("span: wide", "`span`: "),
        ("span: 10 bar, division: 1 s", "another kind than the span"),
        ("span: 10 bar, usual: 20 to 30 °C", "another kind than the span"),
    ],
)
def test_what_cannot_be_read_is_told_at_its_place_in_the_unit_file(text, words):
    (message,) = wrong_with(text)
    assert message.startswith("units/t.yaml: ") and words in message


# -- moving a limit, against looking at every reading

SCALE = (Stretch(None, Fraction(25), Fraction(2)), Stretch(Fraction(25), Fraction(75), Fraction(1)))
GRADE_A = (*SCALE, Stretch(Fraction(75), None, Fraction(2)))
READINGS = [Fraction(n, 2) for n in range(-40, 241)]


@given(st.integers(-40, 440).map(lambda n: Fraction(n, 4)))
def test_the_last_open_reading_is_the_last(limit):
    far = last_open(GRADE_A, limit)
    for reading in READINGS:
        surely_above = reading - error_at(GRADE_A, reading) > limit
        assert surely_above or reading <= far
    # Where the error jumps the last open reading can stand alone: 75 at a limit of 73.
    near = [far, far - Fraction(1, 1000)]
    assert any(reading - error_at(GRADE_A, reading) <= limit for reading in near)


@given(st.integers(-40, 440).map(lambda n: Fraction(n, 4)))
def test_up_to_the_last_sure_reading_all_are_sure(limit):
    sure = last_sure(GRADE_A, limit)
    for reading in READINGS:
        if reading < sure:
            assert reading + error_at(GRADE_A, reading) <= limit
    step = Fraction(1, 1000)
    beyond = [sure, sure + step]
    assert any(reading + error_at(GRADE_A, reading) > limit for reading in beyond)


@given(st.integers(-120, 520).map(lambda n: Fraction(n, 4)))
def test_a_scale_turned_round_has_the_same_errors(reading):
    assert error_at(mirrored(GRADE_A), -reading) == error_at(GRADE_A, reading)

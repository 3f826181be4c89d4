"""Rounding to a step, and numbers as they are printed."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proctool.model.rows import Way
from proctool.tables.interval import Interval, point
from proctool.tables.rounding import Rounding, amount, outward, parse_rounding, rounded, rounded_step
from tests.tables.make import table

TENTH = Fraction(1, 10)


@pytest.mark.parametrize(
    ("number", "step", "even", "half_up"),
    [
        # Ties; rule A of ISO 80000-1:2009, annex B (from memory) goes to the even one, rule B up.
        ("12.25", "0.1", "12.2", "12.3"),
        ("12.35", "0.1", "12.4", "12.4"),
        ("0.5", "1", "0", "1"),
        ("1.5", "1", "2", "2"),
        ("2.5", "1", "2", "3"),
        ("12.251", "0.1", "12.3", "12.3"),  # no tie
        ("-0.5", "1", "0", "0"),
        ("0.375", "0.25", "0.5", "0.5"),
    ],
)
def test_nearest_goes_to_the_even_step_half_way(number, step, even, half_up):
    exact, by = Fraction(number), Fraction(step)
    assert rounded(point(exact), by, Way.NEAREST) == Fraction(even)
    assert math.floor(exact / by + Fraction(1, 2)) * by == Fraction(half_up)


@pytest.mark.parametrize(
    ("number", "up", "down"),
    [("3.01", "3.1", "3.0"), ("3.0", "3.0", "3.0"), ("-3.01", "-3.0", "-3.1"), ("0", "0", "0")],
)
def test_up_and_down_keep_their_side_below_zero_too(number, up, down):
    assert rounded(point(Fraction(number)), TENTH, Way.UP) == Fraction(up)
    assert rounded(point(Fraction(number)), TENTH, Way.DOWN) == Fraction(down)


@given(
    st.fractions(min_value=-1000, max_value=1000, max_denominator=5000),
    st.fractions(min_value=0, max_value=1, max_denominator=1000),
    st.fractions(min_value=Fraction(1, 100), max_value=10, max_denominator=100),
)
def test_rounding_is_never_unsafe_and_never_further_than_a_step(low, width, step):
    number = Interval(low, low + width)
    up, down, nearest = (rounded(number, step, way) for way in Way)
    assert up >= number.high and up - number.high < step
    assert down <= number.low and number.low - down < step
    assert abs(nearest - number.middle) <= step / 2
    assert all((n / step).denominator == 1 for n in (up, down, nearest))


@given(
    st.decimals(min_value=1, max_value=9, places=2),
    st.integers(1, 99),
    st.sampled_from(["or_less", "or_more"]),
    st.sampled_from(["0.1 bar", "0.25 bar", "1 psi", "5 kPa"]),
)
def test_a_limit_is_never_late_in_any_measure_it_is_shown_in(reading, share, side, step):
    way = "up" if side == "or_less" else "down"
    made = table(
        f"readings: {{x: {{rows: {reading} bar}}}}\n"
        f"answer: {{a: {{is: x * {share} %, round: {way} to {step}}}}}\ndue_when: {{a: {side}}}\n",
        shows={"pressure": ("bar", "psi", "kPa")},
    )
    exact = Fraction(reading) * share / 100
    psi = Fraction(8896443230521, 1290320000) / 100_000  # in bar, from the definitions of inch, pound and g
    in_bar = {"bar": Fraction(1), "psi": psi, "kPa": Fraction(1, 100)}
    cell = made.rows[0].answers[0]
    shown = [amount.value * in_bar[amount.measure] for amount in (cell.shown, *cell.also)]
    assert len(shown) == 3
    assert all(number >= exact if side == "or_less" else number <= exact for number in shown)


@pytest.mark.parametrize(
    ("text", "way", "step"),
    [
        ("up to 0.1 bar", Way.UP, "0.1 bar"),
        ("down to 1 psi", Way.DOWN, "1 psi"),
        ("nearest 5 K", Way.NEAREST, "5 K"),
    ],
)
def test_a_rounding_as_people_write_it(text, way, step):
    found = parse_rounding(text)
    assert isinstance(found, Rounding)
    assert (found.way, str(found.step)) == (way, step)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("0.1 bar", "expected `up to`, `down to` or `nearest`"),
        ("up to 0 bar", "A step is more than 0"),
        ("up to -1 bar", "A step is more than 0"),
        ("up to 1 barr", "Did you mean `bar`?"),
        ("upto 1 bar", "is no rounding"),
    ],
)
def test_what_is_no_rounding_says_why(text, words):
    found = parse_rounding(text)
    assert isinstance(found, str) and words in found


@pytest.mark.parametrize(
    ("number", "measure", "step", "text"),
    [
        ("3", "bar", "0.1", "3.0 bar"),
        ("3.25", "bar", "0.25", "3.25 bar"),
        ("-0.5", "bar", None, "\N{MINUS SIGN}0.5 bar"),
        ("1", "day", "1", "1 day"),
        ("2", "day", "1", "2 days"),
        ("3", "", None, "3"),
        ("10/3", "bar", None, "about 3.333 bar"),
        ("100000/3", "Pa", None, "about 33333 Pa"),
        ("1/3000", "bar", None, "about 0.000333 bar"),
    ],
)
def test_how_a_number_is_printed(number, measure, step, text):
    shown = amount(Fraction(number), measure, Fraction(step) if step else None)
    assert (shown.text, shown.value) == (text, Fraction(number))


def test_what_a_gauge_leaves_open_is_printed_outwards():
    low, high = outward(Fraction("2.8425"), Fraction("3.1575"), "bar", Fraction("0.01"))
    assert (low.text, high.text) == ("2.84 bar", "3.16 bar")
    assert (low.value, high.value) == (Fraction("2.8425"), Fraction("3.1575"))


@given(st.fractions(min_value=Fraction(1, 10**6), max_value=10**6))
def test_a_round_step_is_the_largest_that_fits(largest):
    step = rounded_step(largest)
    assert step <= largest < step * Fraction(5, 2) + step * 0 or step <= largest < step * 2

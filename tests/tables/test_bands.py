"""What a pair of readings says, against published decision rules and every true value there can be."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proctool.model.rows import Band, Table
from proctool.tables import due_answer
from tests.tables.make import quantity, table, unit


def fixed_limit(limit: str, side: str, gauge: str, more: str = "") -> Table:
    way = "up" if side == "or_less" else "down"
    return table(
        f"answer: {{a: {{is: {limit}, gauge: before, round: {way} to 1 psi}}}}\n"
        f"due_when: {{a: {side}}}\n{more}",
        unit(gauge),
    )


def test_a_guard_band_of_the_whole_error():
    """At least 40 psi, U 2 psi, r = 1: accepted from 42 psi on; from w = r U (ILAC-G8:09/2019, read)."""
    made = fixed_limit("40 psi", "or_less", "span: 100 psi, accuracy: 2 %", "guard: true\n")
    cell = made.rows[0].answers[0]
    assert (cell.value.text, cell.moved.text, cell.shown.text) == ("40 psi", "42 psi", "42 psi")
    assert due_answer(made, {"a": quantity("42.1 psi")}) is Band.SOON
    assert due_answer(made, {"a": quantity("42 psi")}) is Band.CANNOT_TELL


@pytest.mark.parametrize(
    ("reading", "band"),
    [(96, Band.NOT_DUE), (98, Band.CANNOT_TELL), (101, Band.CANNOT_TELL), (104, Band.DUE)],
)
def test_the_four_states_of_a_guarded_upper_limit(reading, band):
    """ILAC-G8:09/2019, non-binary rule (read): limit 100, w 3: 96 pass, 98 and 101 conditional, 104 fail."""
    made = fixed_limit("100 psi", "or_more", "span: 200 psi, accuracy: 1.5 %", "soon: 0.5 psi\n")
    assert due_answer(made, {"a": quantity(f"{reading} psi")}) is band


@pytest.mark.parametrize(
    ("reading", "band"), [("99.9", Band.SOON), ("100", Band.DUE), ("100.1", Band.DUE), ("98.9", Band.NOT_DUE)]
)
def test_simple_acceptance_without_an_error(reading, band):
    """ILAC-G8:09/2019 (read): w = 0, 99.9 accepted, 100.1 rejected. At 100 work is due: our choice."""
    made = fixed_limit("100 psi", "or_more", "span: 200 psi, accuracy: 0 %")
    assert due_answer(made, {"a": quantity(f"{reading} psi")}) is band


def test_a_reading_is_not_rounded_before_it_is_compared():
    """ASTM E29 (its idea; from memory): 100.4 fails a limit of 100 by the absolute method, which is ours."""
    made = fixed_limit("100 psi", "or_more", "span: 200 psi, accuracy: 0 %")
    assert due_answer(made, {"a": quantity("100.4 psi")}) is Band.DUE
    assert due_answer(made, {"a": quantity("99.6 psi")}) is Band.SOON


def test_without_the_error_of_a_gauge_nothing_is_said_to_be_not_due():
    made = fixed_limit("40 psi", "or_less", "span: 100 psi")
    assert due_answer(made, {"a": quantity("40 psi")}) is Band.DUE
    for reading in ("41 psi", "99 psi"):
        assert due_answer(made, {"a": quantity(reading)}) is Band.CANNOT_TELL


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        ({}, "`x` is missing"),
        ({"x": "4 bar"}, "`a` is missing"),
        ({"x": "4 bar", "a": "3 s"}, "`3 s` is of another kind; expected a reading in `bar` for `a`"),
        ({"x": "0 bar", "a": "3 bar"}, "gives nothing at these readings: this divides by zero"),
    ],
)
def test_what_cannot_be_said_is_told_in_words(readings, words):
    made = table(
        "readings: {x: {rows: 1 to 2 bar by 1 bar}}\n"
        "answer: {a: {is: 1 bar * 1 bar / x, round: up to 1 bar}}\ndue_when: {a: or_less}\n"
    )
    said = due_answer(made, {name: quantity(text) for name, text in readings.items()})
    assert isinstance(said, str) and words in said


def test_a_table_without_a_limit_says_so():
    made = table("answer: {a: {is: 1 bar, round: up to 1 bar}}\nsafe_side: high\n")
    assert due_answer(made, {}) == "This table does not say when work is due."


# -- against every true value there can be

GRADE = "span: 10 bar, accuracy: grade B, division: 0.2 bar, usual: 2 to 6 bar"
FORMULAS = {
    "x * 75 %": lambda x: x * Fraction(3, 4),
    "x - 0.9 bar": lambda x: x - Fraction(9, 10),
    "9 bar - x": lambda x: 9 - x,
    "x * x / 9 bar": lambda x: x * x / 9,
}


def half_width(reading: Fraction) -> Fraction:
    """Grade B of 10 bar, 3-2-3 %, and half a mark of 0.2 bar; written out again for the test."""
    return (Fraction(2, 10) if Fraction(5, 2) < reading < Fraction(15, 2) else Fraction(3, 10)) + Fraction(
        1, 10
    )


@given(
    st.sampled_from(list(FORMULAS)),
    st.sampled_from(["or_less", "or_more"]),
    st.booleans(),
    st.integers(10, 90).map(lambda n: Fraction(n, 10)),
    st.integers(0, 100).map(lambda n: Fraction(n, 10)),
)
def test_a_band_holds_for_every_true_value_the_gauges_allow(formula, side, guard, x, y):
    way = "up" if side == "or_less" else "down"
    made = table(
        f"readings: {{x: {{gauge: before, rows: 2 to 6 bar by 1 bar}}}}\n"
        f"answer: {{a: {{is: {formula}, gauge: after, round: {way} to 0.1 bar}}}}\n"
        f"guard: {str(guard).lower()}\ndue_when: {{a: {side}}}\n",
        unit(GRADE),
    )
    band = due_answer(made, {"x": quantity(f"{float(x)} bar"), "a": quantity(f"{float(y)} bar")})
    corners = [
        (y + dy * half_width(y), FORMULAS[formula](x + dx * half_width(x)))
        for dx in (-1, Fraction(-1, 2), 0, Fraction(1, 2), 1)
        for dy in (-1, 0, 1)
    ]
    past = [true <= limit if side == "or_less" else true >= limit for true, limit in corners]
    if band is Band.DUE:
        assert all(past)
    elif band in {Band.SOON, Band.NOT_DUE}:
        assert not any(past)
    if all(past):
        assert band in {Band.DUE, Band.CANNOT_TELL}
    if any(past):
        assert band in {Band.DUE, Band.CANNOT_TELL}


@given(
    st.sampled_from(list(FORMULAS)),
    st.sampled_from(["or_less", "or_more"]),
    st.integers(0, 100).map(lambda n: Fraction(n, 10)),
)
def test_past_a_guarded_limit_the_work_is_surely_not_late(formula, side, y):
    way = "up" if side == "or_less" else "down"
    made = table(
        f"readings: {{x: {{gauge: before, rows: 2 to 6 bar by 0.5 bar}}}}\n"
        f"answer: {{a: {{is: {formula}, gauge: after, round: {way} to 0.1 bar}}}}\n"
        f"guard: true\ndue_when: {{a: {side}}}\n",
        unit(GRADE),
    )
    for row in made.rows:
        x, printed = row.readings[0].shown.value, row.answers[0].shown.value
        called = y <= printed if side == "or_less" else y >= printed
        for dx in (-1, 0, 1):
            limit = FORMULAS[formula](x + dx * half_width(x))
            for true in (y - half_width(y), y + half_width(y)):
                assert called or (true > limit if side == "or_less" else true < limit)


def test_where_the_error_jumps_the_larger_one_holds():
    """Grade A of 100 psi: 2 psi from 75 psi on, 1 psi below; just below it 76.5 psi is surely not reached."""
    made = fixed_limit("76.5 psi", "or_less", "span: 100 psi, accuracy: grade A")
    assert due_answer(made, {"a": quantity("74.9 psi")}) is Band.DUE
    assert due_answer(made, {"a": quantity("75 psi")}) is Band.CANNOT_TELL

"""Rows of readings, and what a table is made of."""

from fractions import Fraction

import pytest

from proctool.model.rows import Way
from proctool.tables.rows import MOST, Rows, combinations, parse_rows
from tests.tables.make import SHOWS, faults, table, unit


@pytest.mark.parametrize(
    ("text", "low", "high", "count", "measure"),
    [
        ("2.0 to 6.0 bar by 0.5 bar", 2, 6, 9, "bar"),
        ("0.1 to 0.4 bar by 0.1 bar", Fraction(1, 10), Fraction(2, 5), 4, "bar"),
        ("20 to 80 °C by 10 K", 20, 80, 7, "°C"),
        ("20 to 80 °C by 10 °C", 20, 80, 7, "°C"),
        ("-10 to 10 °F by 10 Δ°F", -10, 10, 3, "°F"),
        ("1 to 5 by 2", 1, 5, 3, ""),
        ("3 bar to 3 bar by 1 bar", 3, 3, 1, "bar"),
        ("4.0 bar", 4, 4, 1, "bar"),
    ],
)
def test_rows_take_both_ends(text, low, high, count, measure):
    rows = parse_rows(text)
    assert isinstance(rows, Rows)
    assert (rows.values()[0], rows.values()[-1], rows.count, rows.measure) == (low, high, count, measure)
    assert len(rows.values()) == count


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("2.0 to 6.1 bar by 0.5 bar", "off the step of `0.5 bar` from `2.0 bar`; write 6.0 bar or 6.5 bar"),
        ("2.0 to 6.0 bar", "has no step; expected rows such as"),
        ("2.0 to 6.0 bar by 5 psi", "mixes measures; write both ends and the step in `bar`"),
        ("30 psi to 4 bar by 0.1 bar", "mixes measures"),
        ("2.0 to 6.0 bar by 0 bar", "A step is more than 0"),
        ("2.0 to 6.0 bar by -1 bar", "A step is more than 0"),
        ("6.0 to 2.0 bar by 1 bar", "wrong way round"),
        ("6.0 bar or less by 1 bar", "has no end"),
        ("20 to 80 bar by 10 K", "mixes measures"),
        ("a to b by c", "is not a quantity"),
    ],
)
def test_what_are_no_rows_says_why(text, words):
    found = parse_rows(text)
    assert isinstance(found, str) and words in found


def test_several_readings_make_every_combination_the_last_turning_fastest():
    made = table(
        "readings: {a: {rows: 1 to 2 bar by 1 bar}, b: {rows: 1 to 3 bar by 1 bar}}\n"
        "answer: {sum: {is: a + b, round: up to 1 bar}}\nsafe_side: high\n"
    )
    assert [tuple(int(cell.shown.value) for cell in row.readings) for row in made.rows] == [
        *((1, 1), (1, 2), (1, 3), (2, 1), (2, 2), (2, 3)),
    ]


def test_too_many_rows_are_told_and_never_made():
    rows = parse_rows("0 to 99999999999999 bar by 0.001 bar")
    assert isinstance(rows, Rows)
    said = combinations([rows, rows])
    assert isinstance(said, str) and "at most 500" in said
    many = parse_rows(f"1 to {MOST} by 1")
    assert isinstance(many, Rows) and len(combinations([many])) == MOST
    (fault,) = faults(
        "readings: {x: {rows: 1 to 501 by 1}}\nanswer: {a: {is: x, round: up to 1}}\nsafe_side: high\n"
    )
    assert (fault.kind, fault.span.line) == ("file/limit", 2)


def test_an_answer_without_readings_is_a_table_of_one_row():
    made = table("answer: {wait: {is: restart * 6, round: up to 1 min}}\nsafe_side: high\n")
    (row,) = made.rows
    assert row.readings == () and row.answers[0].shown.text == "1 min"
    assert made.values["restart"].written == "10 s"


def test_several_answers_stand_in_one_row():
    made = table(
        "answer:\n  first: {is: full * 50 %, round: nearest 1 N·m, least: 10 N·m, most: 12 N·m}\n"
        "  second: {is: full, round: nearest 1 N·m, least: 20 N·m, most: 24 N·m}\n"
        "fixed: {full: 22 N·m}\nsafe_side: inside\n"
    )
    assert [cell.shown.text for cell in made.rows[0].answers] == ["11 N·m", "22 N·m"]


def test_an_answer_that_does_not_come_out_must_be_rounded():
    assert table("answer: {a: {is: 1 bar / 8}}", shows=SHOWS).rows[0].answers[0].shown.text == "0.125 bar"
    for formula in ("1 bar / 3", "1 bar * sqrt(2)"):
        (fault,) = [
            f for f in faults(f"answer: {{a: {{is: {formula}, gauge: after}}}}") if f.kind == "file/schema"
        ]
        assert "say how it is rounded with `round`" in fault.message


def test_what_is_not_exact_says_so_and_is_rounded_safely():
    made = table("answer: {flow: {is: 1 L/min * sqrt(2), round: up to 0.1 L/min}}\nsafe_side: high\n")
    cell = made.rows[0].answers[0]
    assert not cell.exact and not made.exact
    assert cell.shown.text == "1.5 L/min"
    assert abs(cell.value.value**2 - 2) < Fraction(1, 10**50)
    assert cell.value.text == "about 1.414 L/min"


def test_a_temperature_is_rounded_on_its_own_scale():
    made = table(
        "readings: {hot: {rows: 50 to 70 °C by 10 °C}}\n"
        "answer: {cool: {is: 20 °C + (hot - 20 °C) / 3, round: up to 1 °C}}\nsafe_side: high\n",
        shows=SHOWS,
    )
    assert [(r.answers[0].shown.text, r.answers[0].also[0].text) for r in made.rows] == [
        ("30 °C", "86 °F"),
        ("34 °C", "92 °F"),  # 33.33 °C is 92.0 °F exactly
        ("37 °C", "98 °F"),
    ]


def test_a_cooling_time_from_a_formula_with_a_logarithm():
    """Newton's law of cooling: 2 h * ln((80 - 20) / (40 - 20)) is 2.197... h."""
    made = table(
        "readings: {hot: {rows: 60 to 80 °C by 20 °C}}\n"
        "answer: {wait: {is: constant * log((hot - room) / (safe - room)), round: up to 5 min}}\n"
        "fixed: {constant: 2 h, room: 20 °C, safe: 40 °C}\nsafe_side: high\n"
    )
    assert [row.answers[0].shown.text for row in made.rows] == ["85 min", "135 min"]


def test_a_fact_and_a_property_may_stand_in_a_formula():
    made = table("answer: {a: {is: housing.tighten / 2 + 0 N·m, round: nearest 1 N·m}}\nsafe_side: low\n")
    assert made.rows[0].answers[0].shown.text == "11 N·m"
    (fault,) = faults("answer: {a: {is: colour * 2, round: nearest 1 N·m}}")
    assert fault.kind == "file/quantity" and "`colour` of unit T is no quantity" in fault.message


@pytest.mark.parametrize(
    ("formula", "way", "nearby"),
    [
        ("x * 75 %", "or_less", Way.UP),
        ("x * 75 %", "or_more", Way.DOWN),
        ("9 bar - x", "or_less", Way.DOWN),
        ("9 bar - x", "or_more", Way.UP),
        ("x - (x - 1 bar) * 30 %", "or_less", Way.UP),
        ("max(x, 7 bar - x)", "or_less", None),
    ],
)
def test_which_neighbouring_row_is_safe_between_two(formula, way, nearby):
    round_way = "up" if way == "or_less" else "down"
    made = table(
        f"readings: {{x: {{gauge: before, rows: 2 to 6 bar by 1 bar}}}}\n"
        f"answer: {{a: {{is: '{formula}', round: {round_way} to 0.1 bar}}}}\ndue_when: {{a: {way}}}\n",
        shows=SHOWS,
    )
    assert made.answers[0].nearby == (nearby,)
    for row, after in zip(made.rows, made.rows[1:], strict=False):
        low, high = row.answers[0].shown.value, after.answers[0].shown.value
        if nearby is not None:
            safe = high if nearby is Way.UP else low
            assert safe == (max(low, high) if way == "or_less" else min(low, high))
    psi = Fraction(8896443230521, 1290320000) / 100_000
    for row in made.rows:
        shown = [amount.value * psi for amount in row.readings[0].also]
        if nearby is None:
            assert shown == []
        else:
            at = row.readings[0].shown.value
            assert all(n <= at if nearby is Way.UP else n >= at for n in shown) and len(shown) == 1


def test_a_gauge_may_be_named_by_its_tag():
    made = table(
        "readings: {x: {gauge: P1, rows: 2 to 6 bar by 1 bar}}\n"
        "answer: {a: {is: x, round: up to 0.1 bar}}\nsafe_side: high\n",
        unit(),
    )
    gauge = made.readings[0].gauge
    assert gauge is not None and (gauge.id, made.readings[0].title) == ("before", "inlet gauge P1")

"""Numbers with bounds: the true number always lies between them, and they are as near as is said."""

import math
from decimal import Context, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proctool.tables import interval as on
from proctool.tables.evaluate import bounds, evaluate, slope_sign
from proctool.tables.expression import Formula
from proctool.tables.formula import parse
from proctool.tables.interval import Interval, NoNumber, point

positive = st.fractions(min_value=Fraction(1, 100), max_value=1000, max_denominator=997)
fine = Context(prec=90)


def decimal(number: Fraction) -> Decimal:
    return fine.divide(Decimal(number.numerator), Decimal(number.denominator))


def holds(found: Interval, true: Decimal) -> bool:
    """`true` is known to 90 digits, the bounds to 60."""
    near, off = Fraction(true), abs(Fraction(true)) / 10**85
    return near - off <= found.high and found.low <= near + off


@given(positive)
def test_roots_logarithms_and_powers_of_e_lie_between_their_bounds(number):
    true = decimal(number)
    for found, expected in (
        (on.root(point(number)), fine.sqrt(true)),
        (on.log(point(number)), fine.ln(true)),
        (on.exp(point(number / 10)), fine.exp(decimal(number / 10))),
        (on.power(point(number), point(Fraction("1.852"))), fine.power(true, Decimal("1.852"))),
    ):
        assert holds(found, expected)
        assert found.high - found.low <= (abs(found.high) + 1) / Fraction(10) ** 50


@given(positive, st.integers(2, 7))
def test_a_root_that_comes_out_is_exact(number, n):
    assert on.root(point(number**n), n) == point(number)


@given(st.lists(st.integers(-6, 6), min_size=4, max_size=4), st.integers(0, 6), st.integers(0, 6))
def test_a_box_holds_every_result_of_its_points(ends, i, j):
    (a, b), (c, d) = sorted(ends[:2]), sorted(ends[2:])
    x = a + Fraction(b - a) * i / 6
    y = c + Fraction(d - c) * j / 6
    first, second = Interval(Fraction(a), Fraction(b)), Interval(Fraction(c), Fraction(d))
    for function, exact in ((on.add, x + y), (on.subtract, x - y), (on.multiply, x * y)):
        found = function(first, second)
        assert found.low <= exact <= found.high
    squared = on.power(first, point(2))
    assert squared.low <= x**2 <= squared.high
    assert squared.low >= 0
    try:
        found = on.divide(first, second)
    except NoNumber:
        assert c <= 0 <= d
    else:
        assert found.low <= x / y <= found.high


def test_what_grows_too_long_is_cut_outwards():
    long = Fraction(10**700 + 1, 3**400)
    kept = on.multiply(point(long), point(Fraction(1, 10**500)))
    true = long / 10**500
    assert kept.low < true < kept.high
    assert kept.high - kept.low < true / 10**55


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("x * (1 - 0.25)", Fraction("2.25"), Fraction("3.75")),
        ("x - x * 0.25", Fraction("2.25"), Fraction("3.75")),  # interval arithmetic alone gives 1.75 to 4.25
        ("x - (x - 1) * 0.3", Fraction("2.4"), Fraction("3.8")),
        ("x ** 2 - x", 6, 20),
        ("10 / x", 2, Fraction(10, 3)),
        ("x / (x + 1)", Fraction(3, 4), Fraction(5, 6)),
        ("sqrt(x + 1) - x * 2", Fraction(-10) + Fraction("2.449"), -4),
        ("max(x, 4)", 4, 5),
        ("x - y", 1, 4),
        ("min(x, y) * 2", 2, 4),
    ],
)
def test_bounds_over_a_box_are_sharp_where_a_formula_goes_one_way(text, low, high):
    formula = parse(text, {"x", "y"})
    assert isinstance(formula, Formula)
    box = {"x": Interval(Fraction(3), Fraction(5)), "y": Interval(Fraction(1), Fraction(2))}
    found = bounds(formula, box)
    assert isinstance(found, Interval)
    assert (round(found.low, 2), round(found.high, 2)) == (round(Fraction(low), 2), round(Fraction(high), 2))


def test_where_a_formula_turns_round_its_bounds_are_wide_enough():
    formula = parse("(x - 4) ** 2", {"x"})
    assert isinstance(formula, Formula)
    box = {"x": Interval(Fraction(3), Fraction(6))}
    assert slope_sign(formula, "x", box) is None
    found = bounds(formula, box)
    assert isinstance(found, Interval)
    assert found.low <= 0 and found.high >= 4


FORMULAS = [
    *("x - x * y", "x * y - y / x", "x ** 2 - 3 * x", "sqrt(x * y) - x", "exp(0 - x / 5) * y"),
    *("x * log(x + 1)", "max(x, y) - min(x, 2)", "x ** y", "(x + y) / (x - y + 9)", "0 - x ** 1.852 / y"),
]


@given(
    st.sampled_from(FORMULAS),
    st.tuples(*[st.integers(1, 40)] * 4),
    st.tuples(st.integers(0, 5), st.integers(0, 5)),
)
def test_no_point_of_a_box_gives_more_than_its_bounds(text, ends, place):
    formula = parse(text, {"x", "y"})
    assert isinstance(formula, Formula)
    box, inside = {}, {}
    for name, pair, step in zip("xy", (ends[:2], ends[2:]), place, strict=True):
        low, high = sorted(Fraction(end, 8) for end in pair)
        box[name], inside[name] = Interval(low, high), point(low + (high - low) * step / 5)
    found, one = bounds(formula, box), evaluate(formula, inside)
    assert isinstance(one, Interval) and isinstance(found, Interval)
    assert found.low <= one.high and one.low <= found.high


def test_floating_point_agrees_with_what_is_not_exact():
    for number in (0.3, 2.0, 7.5):
        exact = Fraction(number)
        assert math.isclose(on.exp(point(exact)).middle, math.exp(number))
        assert math.isclose(on.log(point(exact)).middle, math.log(number))
        assert math.isclose(on.power(point(exact), point(Fraction("0.54"))).middle, number**0.54)

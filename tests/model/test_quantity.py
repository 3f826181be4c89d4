"""Quantities: reading, comparing, converting. The numbers converted to are published ones, not ours."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proctool.model.measures import DIMENSIONS, MEASURES, find_measure
from proctool.model.quantity import (
    Quantity,
    Range,
    compare,
    convert,
    dimension,
    parse,
    parse_range,
    show,
    show_range,
    show_text,
)


def quantity(text):
    found = parse(text)
    assert isinstance(found, Quantity), found
    return found


@pytest.mark.parametrize(
    ("text", "value", "measure"),
    [
        ("4.0 bar", "4.0", "bar"),
        ("4.0bar", "4.0", "bar"),
        ("4.0\N{NO-BREAK SPACE}bar", "4.0", "bar"),
        ("4.0\N{NARROW NO-BREAK SPACE}bar", "4.0", "bar"),
        ("0.50 barg", "0.50", "bar"),
        ("1 bar(a)", "1", "bar(a)"),
        ("1 bar (a)", "1", "bar(a)"),
        ("14.7 psia", "14.7", "psi(a)"),
        ("22 N·m", "22", "N·m"),
        ("22 Nm", "22", "N·m"),
        ("22 N m", "22", "N·m"),
        ("16 ft-lb", "16", "lbf·ft"),
        ("\N{MINUS SIGN}40 °F", "-40", "°F"),
        ("-40 ℉", "-40", "°F"),
        ("40 ° C", "40", "°C"),
        ("5 K", "5", "K"),
        ("25 %", "25", "%"),
        ("3", "3", ""),
        ("1/4 turn", "0.25", "turn"),
        ("1 1/2 in", "1.5", "in"),
        ("-1/8 in", "-0.125", "in"),
        ("6 months", "6", "month"),
        ("1 year", "1", "year"),
        ("5 micron", "5", "µm"),
        ("5 \N{GREEK SMALL LETTER MU}m", "5", "µm"),
        ("4.7 k\N{OHM SIGN}", "4.7", "kΩ"),
        ("2 m3/h", "2", "m³/h"),
        ("900 rpm", "900", "r/min"),
    ],
)
def test_a_quantity_as_people_write_it(text, value, measure):
    found = quantity(text)
    assert (found.value, found.measure) == (Decimal(value), measure)
    assert str(found.value) == value
    assert str(found) == " ".join(text.split())


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "There is nothing here"),
        ("bar", "expected a number and a measure such as `4.0 bar`"),
        ("4.0 barr", "`barr` is not a measure that is known here. Did you mean `bar`?"),
        ("4 PSI", "Did you mean `psi`?"),
        ("4,0 bar", "has a comma in its number"),
        ("1,000 psi", "has a comma in its number"),
        ("1 000 psi", "has a gap"),
        ("1e3 Pa", "has an exponent"),
        ("010 bar", "needless 0"),
        ("1/3 turn", "no end as a decimal"),
        ("1/0 in", "divides by nothing"),
        ("3 m in", "`m in` is not a measure"),
        ("5 mPa", "`mPa` is not a measure"),
        ("٤ bar", "is not a quantity"),
        ("nan bar", "is not a quantity"),
        ("4.0 bar and more", "`bar and more` is not a measure"),
        ("4. bar", "is not a quantity"),
        ("4" * 100, "longer than 80 characters"),
    ],
)
def test_what_is_no_quantity_says_why(text, words):
    found = parse(text)
    assert isinstance(found, str)
    assert words in found
    assert len(found) < 200


# NIST Special Publication 811 (2008), appendix B.8 (factors) and B.9 (temperatures). The definitions are what
# it marks as exact; the exact ratios follow from them. Written from memory of the document, except the
# inch of mercury, which was looked up in a reprint of the table.
INCH = Fraction("0.0254")  # metre
POUND = Fraction("0.45359237")  # kilogram
GRAVITY = Fraction("9.80665")  # metre per second squared, standard
LBF = POUND * GRAVITY


@pytest.mark.parametrize(
    ("text", "measure", "exact"),
    [
        ("1 bar", "Pa", Fraction(100_000)),
        ("1 psi", "Pa", LBF / INCH**2),
        ("1 lbf", "N", LBF),
        ("1 lbf·ft", "N·m", LBF * 12 * INCH),
        ("1 lbf·in", "N·m", LBF * INCH),
        ("1 gal", "L", 231 * INCH**3 * 1000),
        ("1 gal/min", "L/min", 231 * INCH**3 * 1000),
        ("1 ft³", "L", (12 * INCH) ** 3 * 1000),
        ("1 in", "mm", Fraction("25.4")),
        ("1 ft", "m", Fraction("0.3048")),
        ("1 lb", "kg", POUND),
        ("1 oz", "g", POUND * 1000 / 16),
        ("1 hp", "W", 550 * LBF * 12 * INCH),
        ("1 kWh", "J", Fraction(3_600_000)),
        ("32 °F", "°C", Fraction(0)),  # B.9: t/°C = (t/°F - 32)/1.8
        ("140 °F", "°C", Fraction(60)),
        ("-40 °F", "°C", Fraction(-40)),
        ("100 °C", "°F", Fraction(212)),
        ("9 Δ°F", "K", Fraction(5)),  # B.8 "degree Fahrenheit (temperature interval)"
        ("1 week", "h", Fraction(168)),
        ("1 year", "month", Fraction(12)),
        ("25 %", "", Fraction(1, 4)),
        ("60 r/min", "Hz", Fraction(1)),
        ("1/4 turn", "°", Fraction(90)),
        ("1 mJ/cm²", "J/m²", Fraction(10)),
    ],
)
def test_conversion_is_exact(text, measure, exact):
    assert convert(quantity(text), measure) == exact


@pytest.mark.parametrize(
    ("text", "measure", "printed"),
    [
        # NIST SP 811, B.8, as printed (seven digits).
        ("1 psi", "Pa", "6894.757"),
        ("1 inHg", "Pa", "3386.389"),
        ("1 lbf·ft", "N·m", "1.355818"),
        ("1 lbf·in", "N·m", "0.1129848"),
        ("1 lbf", "N", "4.448222"),
        ("1 gal", "L", "3.785412"),
        ("1 ft³", "m³", "0.02831685"),
        ("1 hp", "W", "745.6999"),
        # The reciprocals, from the exact definitions above, to 16 digits.
        ("1 psi", "Pa", "6894.757293168361"),
        ("1 bar", "psi", "14.50377377302092"),
        ("1 lbf·ft", "N·m", "1.355817948331400"),
    ],
)
def test_conversion_gives_the_published_figures(text, measure, printed):
    last_digit = Fraction(1, 10 ** len(printed.partition(".")[2]))
    assert abs(convert(quantity(text), measure) - Fraction(printed)) <= last_digit / 2


@pytest.mark.parametrize(
    ("text", "measure"),
    [
        ("1 bar", "bar(a)"),
        ("14.7 psi(a)", "psi"),
        ("5 K", "°C"),
        ("1 month", "day"),
        ("1 ppm", "mg/L"),
        ("1 N", "N·m"),
    ],
)
def test_kinds_are_not_mixed(text, measure):
    with pytest.raises(ValueError, match="another kind"):
        convert(quantity(text), measure)
    assert compare(quantity(text), Quantity("1", Decimal(1), measure)) is None


def test_an_unknown_measure_is_an_error_of_the_caller():
    with pytest.raises(ValueError, match=r"Did you mean `bar`\?"):
        convert(quantity("1 bar"), "barr")
    with pytest.raises(ValueError, match="not a known measure"):
        dimension("furlong")


@pytest.mark.parametrize(
    ("a", "b", "order"),
    [
        ("4.0 bar", "58 psi", 1),
        ("4.0 bar", "58.1 psi", -1),
        ("4.0 bar", "400 kPa", 0),
        ("4.0 bar", "4.00 bar", 0),
        ("140 °F", "60 °C", 0),
        ("140.0000000001 °F", "60 °C", 1),
        ("90 s", "1.5 min", 0),
        ("12 months", "1 year", 0),
        ("0.1 bar", "100.0000000000000000001 mbar", -1),
    ],
)
def test_comparing_is_exact(a, b, order):
    assert compare(quantity(a), quantity(b)) == order
    assert compare(quantity(b), quantity(a)) == -order


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("2.0 to 6.0 bar", "2.0 bar", "6.0 bar"),
        ("0 °C to 40 °C", "0 °C", "40 °C"),
        ("30 psi to 4 bar", "30 psi", "4 bar"),
        ("-5 to 5 °C", "-5 °C", "5 °C"),
        ("40 °C or less", None, "40 °C"),
        ("0.5 bar or more", "0.5 bar", None),
        ("230 V", "230 V", "230 V"),
        ("1 to 3", "1", "3"),
    ],
)
def test_a_range_as_people_write_it(text, low, high):
    found = parse_range(text)
    assert isinstance(found, Range)
    assert (found.low and str(found.low), found.high and str(found.high)) == (low, high)
    assert str(found) == text
    assert found.measure == quantity(low or high).measure


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("6.0 to 2.0 bar", "wrong way round"),
        ("2 bar to 3 N", "different kinds: pressure and force"),
        ("2 bar to 3 bar(a)", "different kinds: pressure and absolute pressure"),
        ("2-6 bar", "write `to` between its ends"),
        ("2 to 6 barr", "Did you mean `bar`?"),
        ("x to 6 bar", "`x` is not a quantity"),
        ("warm or less", "`warm` is not a quantity"),
        ("full", "A range is `2.0 to 6.0 bar`"),
    ],
)
def test_what_is_no_range_says_why(text, words):
    found = parse_range(text)
    assert isinstance(found, str)
    assert words in found


@pytest.mark.parametrize(
    ("text", "reading", "holds"),
    [
        ("2.0 to 6.0 bar", "2.0 bar", True),
        ("2.0 to 6.0 bar", "87 psi", True),
        ("2.0 to 6.0 bar", "87.1 psi", False),
        ("2.0 to 6.0 bar", "1.99 bar", False),
        ("40 °C or less", "104 °F", True),
        ("40 °C or less", "40.1 °C", False),
        ("0.5 bar or more", "0.5 bar(a)", None),
        ("2.0 to 6.0 bar", "3 V", None),
    ],
)
def test_whether_a_reading_lies_in_a_range(text, reading, holds):
    found = parse_range(text)
    assert isinstance(found, Range)
    assert found.holds(quantity(reading)) is holds


@pytest.mark.parametrize(
    ("text", "measures", "shown"),
    [
        ("4.0 bar", ("bar", "psi"), "4.0 bar (58.0 psi)"),
        ("10 bar", ("bar", "psi"), "10 bar (145 psi)"),
        ("0 bar", ("bar", "psi"), "0 bar (0 psi)"),
        ("65 psi", ("bar", "psi"), "4.48 bar (65 psi)"),
        ("22 Nm", ("N·m", "lbf·ft"), "22 N·m (16.2 lbf·ft)"),
        ("40 °C", ("°C", "°F"), "40 °C (104 °F)"),
        ("-0.5 bar", ("psi", "bar", "psi"), "\N{MINUS SIGN}7.3 psi (\N{MINUS SIGN}0.5 bar)"),
        ("6 months", ("bar", "psi"), "6 months"),
        ("1 month", (), "1 month"),
        ("3", ("bar",), "3"),
        ("1 bar(a)", ("bar", "psi"), "1 bar(a)"),
    ],
)
def test_a_quantity_is_shown_in_the_measures_of_the_library(text, measures, shown):
    assert show(quantity(text), measures) == shown


@given(
    st.decimals(min_value=-1000, max_value=1000, places=2),
    st.sampled_from([(a, b) for a in MEASURES for b in MEASURES if a.dimension == b.dimension]),
)
def test_there_and_back_is_the_same(number, pair):
    source, target = pair
    start = Quantity(f"{number} {source.symbol}", number, source.symbol)
    slope = convert(Quantity("1", Decimal(1), target.symbol), source.symbol) - convert(
        Quantity("0", Decimal(0), target.symbol), source.symbol
    )
    offset = convert(Quantity("0", Decimal(0), target.symbol), source.symbol)
    assert convert(start, target.symbol) * slope + offset == Fraction(number)


@given(st.decimals(min_value=0, max_value=1000, places=1), st.sampled_from(["bar", "psi", "kPa", "MPa"]))
def test_what_is_shown_is_near_what_is_meant(number, symbol):
    """Rounding for show adds at most a tenth of the last written digit."""
    start = quantity(f"{number} {symbol}")
    for target in ("bar", "psi", "mbar", "MPa"):
        text = show(start, (target,))
        shown = quantity(text)
        off = abs(convert(shown, symbol) - Fraction(number))
        # In measures far smaller than the written one no tens are rounded away: half a unit then.
        assert off <= max(Fraction(1, 100), convert(Quantity("1", Decimal(1), target), symbol) / 2)


@given(st.text(max_size=20))
def test_reading_never_raises(text):
    assert isinstance(parse(text), Quantity | str)
    assert isinstance(parse_range(text), Range | str)


@given(st.text("0123456789 ./-+,eE", max_size=12), st.sampled_from([m.symbol for m in MEASURES]))
def test_reading_never_raises_on_what_looks_like_a_quantity(number, symbol):
    found = parse(f"{number} {symbol}")
    if isinstance(found, Quantity):
        assert parse(str(found)) == found
        assert found.value.is_finite()


def test_every_spelling_names_one_measure():
    spelled = [spelling for measure in MEASURES for spelling in (measure.symbol, *measure.other)]
    assert len(spelled) == len(set(spelled))
    for measure in MEASURES:
        for spelling in (measure.symbol, *measure.other):
            assert find_measure(spelling) is measure


def test_every_measure_converts_within_its_kind():
    assert {measure.dimension for measure in MEASURES} == set(DIMENSIONS)
    for measure in MEASURES:
        first = next(m for m in MEASURES if m.dimension == measure.dimension)
        assert isinstance(convert(Quantity("1", Decimal(1), measure.symbol), first.symbol), Fraction)


# ------------------------------------------------------------------------------------------ ranges shown

SHOWS = {"pressure": ("bar", "psi"), "temperature": ("°C", "°F")}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2.0 to 6.0 bar", "2.0 to 6.0 bar (29.1 to 87.0 psi)"),
        ("30 to 60 psi", "2.07 to 4.13 bar (30 to 60 psi)"),
        ("40 °C or less", "40 °C or less (104 °F or less)"),
        ("0.5 bar or more", "0.5 bar or more (7.3 psi or more)"),
        ("-5 to 5 °C", "\N{MINUS SIGN}5 to 5 °C (23 to 41 °F)"),
        ("1.05 to 2 bar", "1.05 to 2 bar (15.23 to 29.00 psi)"),
        ("4.0 bar", "4.0 bar (58.0 psi)"),
        ("25 %", "25 %"),
        ("2 min", "2 min"),
        ("3", "3"),
        ("2 to 4", "2 to 4"),
        ("until it stops", "until it stops"),
    ],
)
def test_a_text_in_the_measures_shown(text, said):
    assert show_text(text, SHOWS) == said


@given(st.integers(-300, 300), st.integers(1, 300), st.integers(0, 3), st.sampled_from(["bar", "psi", "kPa"]))
def test_a_converted_range_lies_inside_the_one_written(start, width, places, measure):
    """What passes in one measure never fails in the other."""
    low, high = (f"{Decimal(n).scaleb(-places):f}" for n in (start, start + width))
    written = parse_range(f"{low} to {high} {measure}")
    assert isinstance(written, Range)
    assert written.low
    assert written.high
    for other in ("bar", "psi", "kPa"):
        again = parse_range(show_range(written, (other,)))
        assert isinstance(again, Range), show_range(written, (other,))
        assert again.low
        assert again.high
        assert compare(again.low, written.low) in {0, 1}
        assert compare(again.high, written.high) in {0, -1}

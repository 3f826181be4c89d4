"""Formulas: what can be read, what it gives, and that nothing a person writes makes them raise or hang."""

from __future__ import annotations

import re
import time
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from proctool.tables.evaluate import dimension, evaluate
from proctool.tables.expression import Formula, FormulaFault
from proctool.tables.formula import DEEPEST, LONGEST, parse
from proctool.tables.interval import Interval, point

NAMES = {"inlet": "pressure", "limit": "number", "low-flow": "number", "x": "number", "pump.rate": "flow"}
BOX = {
    "inlet": point(400_000),
    "limit": point(Fraction(1, 4)),
    "low-flow": point(3),
    "x": point(2),
    "pump.rate": point(1),
}


def read(text: str) -> Formula:
    found = parse(text, NAMES)
    assert isinstance(found, Formula), found
    return found


def fault(text: str) -> FormulaFault:
    """The first that is found: in the text, in its dimensions, in its numbers."""
    found = parse(text, NAMES)
    if isinstance(found, FormulaFault):
        return found
    what = dimension(found, NAMES)
    if isinstance(what, FormulaFault):
        return what
    number = evaluate(found, BOX)
    assert isinstance(number, FormulaFault), number
    return number


def number(text: str) -> Fraction:
    found = evaluate(read(text), BOX)
    assert isinstance(found, Interval), found
    assert found.exact
    return found.low


@pytest.mark.parametrize(
    ("text", "exact"),
    [
        ("1 + 2 * 3", 7),
        ("(1 + 2) * 3", 9),
        ("7 - 2 - 1", 4),
        ("8 / 4 / 2", 1),
        ("-2**2", -4),
        ("2**-1", Fraction(1, 2)),
        ("2**3**2", 512),
        ("0**0", 1),
        ("2 - -3", 5),
        ("--2", 2),
        ("2 \N{MINUS SIGN} 3", -1),
        ("min(3, 1, 2) + max(1, 2)", 3),
        ("sqrt(16)", 4),
        ("sqrt(6.25)", Fraction("2.5")),
        ("27**(1/3)", 3),
        ("4**1.5", 8),
        ("exp(0) + log(1)", 1),
        ("0.1 + 0.2", Fraction("0.3")),
        ("1/3", Fraction(1, 3)),
        ("25 % * 8", 2),
        ("inlet * (1 - limit)", 300_000),
        ("inlet-100 kPa", 300_000),
        ("x-limit", Fraction("1.75")),
        ("low-flow - x", 1),
        ("low-flow-x", 1),
        ("60 s * 2 L/s", Fraction("0.12")),
        ("3 m / 2 s", Fraction("1.5")),
        ("3 m/s * 2", 6),
        ("2 N*m + 1 N·m + 1 N m", 4),
        ("-40 °F", -40),
        ("104 °F - 40 °C", 0),
        ("20 °C + 9 Δ°F", 25),
        ("inlet + 1 bar(a) - 2 bar(a)", 300_000),
    ],
)
def test_what_a_formula_gives(text, exact):
    assert not isinstance(dimension(read(text), NAMES), FormulaFault)
    assert number(text) == exact


@pytest.mark.parametrize(
    ("text", "kind", "words", "piece"),
    [
        ("", "file/schema", "the formula ends too early", ""),
        ("1 +", "file/schema", "the formula ends too early", ""),
        ("(1 + 2", "file/schema", "expected `)` for the bracket at character 1", ""),
        ("1 2", "file/schema", "found `2`", "2"),
        ("2 ^ 3", "file/schema", "write `**` for `^`", "^"),
        ("2 \N{MULTIPLICATION SIGN} 3", "file/schema", "write `*`", "\N{MULTIPLICATION SIGN}"),
        ("[1]", "file/schema", "write `(` for `[`", "["),
        ("1,5 * x", "file/schema", "write a decimal point", "1"),
        ("max(1,5)", "file/schema", "or a blank behind the comma", "1"),
        ("1e3", "file/schema", "has an exponent", "1"),
        ("010", "file/schema", "needless 0", "010"),
        ("1.2.3", "file/schema", "is not a number", "1.2"),
        ("sqrt", "file/schema", "expected `(` behind `sqrt`", ""),
        ("sqrt(1, 2)", "file/schema", "`sqrt` takes one value; found 2", "sqrt(1, 2)"),
        ("min(1)", "file/schema", "`min` takes 2 to 9 values", "min(1)"),
        ("1/4 turn", "file/schema", "can be read in two ways", "1/4 turn"),
        ("4 barr", "file/quantity", "Did you mean `bar`?", "barr"),
        ("inlt * 2", "graph/unknown-name", "Did you mean `inlet`?", "inlt"),
        ("2 * sqr(4)", "graph/unknown-name", "Did you mean `sqrt`?", "sqr"),
        ("inlet + 3 s", "tables/measures", "pressure and time cannot be added", "inlet + 3 s"),
        ("inlet - 20 %", "tables/measures", "pressure and a bare number", "inlet - 20 %"),
        ("max(inlet, 3)", "tables/measures", "cannot be compared", "max(inlet, 3)"),
        ("10 N·m + 10 J", "tables/measures", "torque and energy", "10 N·m + 10 J"),
        ("20 °C * 2", "tables/measures", "a reading of temperature cannot be multiplied", "20 °C * 2"),
        ("40 °C + 20 °C", "tables/measures", "two readings of temperature", "40 °C + 20 °C"),
        ("5 K - 20 °C", "tables/measures", "cannot be taken from each other", "5 K - 20 °C"),
        ("1 bar(a) + 1 bar(a)", "tables/measures", "two absolute pressures", None),
        ("1 month + 30 day", "tables/measures", "calendar and time", None),
        ("log(inlet)", "tables/measures", "`log` takes a bare number; found pressure", "log(inlet)"),
        ("2 ** inlet", "tables/measures", "an exponent is a bare number", "2 ** inlet"),
        ("inlet ** x", "tables/measures", "must be written as a number", "inlet ** x"),
        ("1 / (x - 2)", "file/quantity", "divides by zero", "1 / (x - 2)"),
        ("(1 - x) / 0 + 1", "file/quantity", "divides by zero", "(1 - x) / 0"),
        ("1 + log(0 - x)", "file/quantity", "only a number above zero has a logarithm", "log(0 - x)"),
        ("sqrt(-4)", "file/quantity", "a number below zero has no root", "sqrt(-4)"),
        ("(-8)**0.5", "file/quantity", "below zero", None),
        ("0**-1", "file/quantity", "divides by zero", "0**-1"),
        ("2**65", "file/quantity", "the exponent is too large; at most 64", "2**65"),
        ("9**9**9", "file/quantity", "the exponent is too large", "9**9**9"),
        ("exp(1000)", "file/quantity", "`exp` takes numbers", "exp(1000)"),
        ("((10**60)**60)**60", "file/quantity", "too large", None),
        ("(" * 30 + "1" + ")" * 30, "file/schema", f"at most {DEEPEST} brackets", None),
        ("-" * 200 + "1", "file/schema", f"at most {DEEPEST}", None),
        ("1" * 50, "file/schema", "at most 40 digits", None),
        ("1+" * 200 + "1", "file/schema", f"at most {LONGEST} characters", None),
        ("__import__('os')", "graph/unknown-name", "", None),
        ("x.real", "graph/unknown-name", "", None),
    ],
)
def test_what_is_wrong_with_a_formula_and_where(text, kind, words, piece):
    found = fault(text)
    assert found.kind == kind
    assert words in found.message
    assert 0 <= found.at < found.end
    if piece is not None:
        assert text[found.at : found.end] == piece


def test_what_can_be_read_in_two_ways_is_a_fault():
    for text, names in (("a-b", {"a", "b", "a-b"}), ("4 m/s", {"s"}), ("3 N*m", {"m"})):
        found = parse(text, names)
        assert isinstance(found, FormulaFault) and "put blanks around" in found.message
    assert isinstance(parse("a - b", {"a", "b", "a-b"}), Formula)
    assert isinstance(parse("4 m / s", {"s"}), Formula)


@given(st.text(max_size=40))
def test_reading_any_text_never_raises(text):
    found = parse(text, NAMES)
    if isinstance(found, Formula):
        assert not isinstance(dimension(found, NAMES), FormulaFault) or text
        evaluate(found, BOX)
    else:
        assert 0 <= found.at < found.end and found.message


PIECES = [
    *("inlet", "limit", "x", "low-flow", "1", "0", "2.5", "1e3", "99999999", "0.001", "(1)", "-x"),
    *(" bar", " °C", " K", " %", " m/s", "min", "max", "sqrt", "exp", "log"),
    *("(", ")", ",", "+", "-", "*", "/", "**", " ", "^", "\n"),
]


@given(st.lists(st.sampled_from(PIECES), max_size=30).map("".join))
@example("9**9**9**9**9")
@example("exp(exp(exp(5)))")
@example("1/0**0.3")
@example("(0-0)**0.37")
@example("2.5**-0.01**64")
def test_no_formula_raises_or_hangs(text):
    found = parse(text, NAMES)
    if isinstance(found, FormulaFault):
        return
    started = time.process_time()
    what, given_number = dimension(found, NAMES), evaluate(found, BOX)
    assert time.process_time() - started < 15
    assert what is not None
    if isinstance(given_number, Interval):
        assert given_number.low <= given_number.high


# -- python's own arithmetic as oracle

LEAVES = st.one_of(
    st.integers(0, 50).map(str),
    st.decimals(0, 50, places=2).map(lambda d: f"{d:f}"),
    st.sampled_from(["x", "limit"]),
)


def _joined(inner):
    two = st.tuples(inner, st.sampled_from(["+", "-", "*", "/"]), inner).map(" ".join)
    powers = st.tuples(inner, st.integers(-3, 3)).map(lambda p: f"({p[0]})**{p[1]}")
    calls = st.tuples(st.sampled_from(["min", "max"]), inner, inner).map(lambda c: f"{c[0]}({c[1]}, {c[2]})")
    return st.one_of(two, powers, calls, inner.map(lambda e: f"({e})"), inner.map(lambda e: f"-{e}"))


def python(text: str) -> Fraction:
    """The same text, worked out by the language itself on fractions."""
    exact = re.sub(r"(?<!\*\*)(?<!\*\*-)\b[0-9]+(?:\.[0-9]+)?", lambda n: f"F('{n[0]}')", text)
    return eval(exact, {"F": Fraction, "x": Fraction(2), "limit": Fraction(1, 4), "min": min, "max": max})  # noqa: S307


@given(st.recursive(LEAVES, _joined, max_leaves=8).filter(lambda text: len(text) <= LONGEST))
def test_exact_as_fractions_are(text):
    found = parse(text, NAMES)
    if isinstance(found, FormulaFault):
        assert "inside each other" in found.message
        return
    try:
        expected = python(text)
    except ZeroDivisionError:
        assert isinstance(evaluate(found, BOX), FormulaFault)
        return
    given_number = evaluate(found, BOX)
    assert isinstance(given_number, Interval)
    if given_number.exact:
        assert given_number.low == expected
    else:  # grew longer than is carried on exactly
        assert given_number.low < expected < given_number.high
        assert given_number.high - given_number.low <= abs(expected) / 10**50


def test_the_oracle_keeps_what_python_says():
    assert python("-2**2") == -4
    assert python("1 / 3") == Fraction(1, 3)
    assert python("(0.1)**2 + 0.2") == Fraction("0.21")

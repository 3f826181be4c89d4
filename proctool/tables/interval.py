"""Numbers with bounds: exact fractions where that can be, else two ends between which the value surely lies.

Sums, differences, products, quotients and whole powers are exact. Roots that do not come out, `exp` and `log`
are worked out to 60 digits and widened outwards by one in the last; so is a fraction that grows too long.
The same arithmetic carries the error of gauges: what goes in as a stretch comes out as one.

A result that does not exist raises `NoNumber`, with the reason in plain words; it does not leave this stage.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from fractions import Fraction

DIGITS = 60
"""Significant digits of what is not exact."""
LARGEST = Fraction(10) ** 300
HIGHEST_POWER = 64
"""The largest whole exponent; more is no arithmetic of a service table."""
_DEEPEST_ROOT = 12
_LONGEST_BITS = 2_000
_SMALLEST_PLACES = 400
_LARGEST_EXP = 690
_DOWN = Context(prec=DIGITS, rounding=ROUND_FLOOR)
_UP = Context(prec=DIGITS, rounding=ROUND_CEILING)


class NoNumber(Exception):  # noqa: N818 - it is not an error of the program
    """There is no such number, or none that can be held; the text says why."""


@dataclass(frozen=True, slots=True)
class Interval:
    """All numbers from `low` to `high`, both included."""

    low: Fraction
    high: Fraction

    @property
    def exact(self) -> bool:
        """Whether it is one number."""
        return self.low == self.high

    @property
    def middle(self) -> Fraction:
        """The number half-way between the ends."""
        return self.low if self.exact else (self.low + self.high) / 2


def point(number: Fraction | int) -> Interval:
    """One number as an interval."""
    exact = Fraction(number)
    return Interval(exact, exact)


def add(a: Interval, b: Interval) -> Interval:
    """The sum."""
    return _kept(a.low + b.low, a.high + b.high)


def negative(a: Interval) -> Interval:
    """The number with its sign turned."""
    return Interval(-a.high, -a.low)


def subtract(a: Interval, b: Interval) -> Interval:
    """The difference."""
    return add(a, negative(b))


def multiply(a: Interval, b: Interval) -> Interval:
    """The product."""
    corners = {x * y for x in (a.low, a.high) for y in (b.low, b.high)}
    return _kept(min(corners), max(corners))


def divide(a: Interval, b: Interval) -> Interval:
    """The quotient."""
    if b.low == b.high == 0:
        raise NoNumber("this divides by zero")
    if b.low <= 0 <= b.high:
        raise NoNumber("what this divides by can be zero")
    return multiply(a, Interval(1 / b.high, 1 / b.low))


def least(*numbers: Interval) -> Interval:
    """The least of several numbers."""
    return Interval(min(n.low for n in numbers), min(n.high for n in numbers))


def greatest(*numbers: Interval) -> Interval:
    """The greatest of several numbers."""
    return Interval(max(n.low for n in numbers), max(n.high for n in numbers))


def hull(*numbers: Interval) -> Interval:
    """The shortest interval that holds all of several."""
    return Interval(min(n.low for n in numbers), max(n.high for n in numbers))


def power(a: Interval, b: Interval) -> Interval:
    """`a` to the power of `b`; 0 to the power of 0 is 1, as in most languages."""
    if b.exact and b.low.denominator == 1:
        return _whole_power(a, int(b.low))
    if a.low < 0:
        raise NoNumber("a number below zero has no power with a fraction as exponent")
    if b.exact and b.low.denominator <= _DEEPEST_ROOT:
        return _whole_power(root(a, b.low.denominator), b.low.numerator)
    if a.low > 0:
        try:
            return exp(multiply(b, log(a)))
        except NoNumber:
            raise NoNumber("the power grows too large or too small") from None
    if b.low <= 0:
        raise NoNumber("zero has no power with an exponent of zero or less than zero")
    return Interval(Fraction(0), power(point(a.high), b).high if a.high else Fraction(0))


def _whole_power(a: Interval, n: int) -> Interval:
    if abs(n) > HIGHEST_POWER:
        raise NoNumber(f"the exponent is too large; at most {HIGHEST_POWER}")
    if n < 0:
        return divide(point(1), _whole_power(a, -n))
    ends = {a.low**n, a.high**n}
    if n and n % 2 == 0 and a.low < 0 < a.high:
        ends.add(Fraction(0))
    return _kept(min(ends), max(ends))


def root(a: Interval, n: int = 2) -> Interval:
    """The `n`-th root; exact where it comes out."""
    if a.low < 0:
        raise NoNumber("a number below zero has no root")
    return _kept(_root(a.low, n)[0], _root(a.high, n)[1])


def _root(a: Fraction, n: int) -> tuple[Fraction, Fraction]:
    """The n-th root of a from below and from above, equal where it comes out."""
    scale = 10**DIGITS
    over, under = a.numerator * a.denominator ** (n - 1) * scale**n, a.denominator * scale
    whole = _whole_root(over, n)
    return Fraction(whole, under), Fraction(whole + (whole**n != over), under)


def _whole_root(number: int, n: int) -> int:
    """The largest whole number whose n-th power is not above `number` (Newton's method, from above)."""
    if number < 2:
        return number
    guess = 1 << -(-number.bit_length() // n)
    while True:
        better = ((n - 1) * guess + number // guess ** (n - 1)) // n
        if better >= guess:
            return guess
        guess = better


def exp(a: Interval) -> Interval:
    """Euler's number to the power of `a`."""
    if max(abs(a.low), abs(a.high)) > _LARGEST_EXP:
        raise NoNumber(f"`exp` takes numbers from -{_LARGEST_EXP} to {_LARGEST_EXP}")
    if a.low == a.high == 0:
        return point(1)
    low, high = _DOWN.exp(_decimal(a.low, _DOWN)), _UP.exp(_decimal(a.high, _UP))
    return _kept(Fraction(_DOWN.next_minus(low)), Fraction(_UP.next_plus(high)))


def log(a: Interval) -> Interval:
    """The natural logarithm."""
    if a.low <= 0:
        raise NoNumber("only a number above zero has a logarithm")
    if a.low == a.high == 1:
        return point(0)
    low, high = _DOWN.ln(_decimal(a.low, _DOWN)), _UP.ln(_decimal(a.high, _UP))
    return _kept(Fraction(_DOWN.next_minus(low)), Fraction(_UP.next_plus(high)))


def _decimal(a: Fraction, context: Context) -> Decimal:
    return context.divide(Decimal(a.numerator), Decimal(a.denominator))


def _kept(low: Fraction, high: Fraction) -> Interval:
    """The interval, its ends cut outwards where they grew too long to be carried on."""
    if low < -LARGEST or high > LARGEST:
        raise NoNumber("the number grows too large")
    return Interval(-_cut(-low), _cut(high))


def _cut(a: Fraction) -> Fraction:
    """`a`, or if it is too long the next number above it with 60 digits."""
    bits = a.numerator.bit_length(), a.denominator.bit_length()
    if max(bits) <= _LONGEST_BITS:
        return a
    magnitude = (bits[0] - bits[1]) * 3 // 10
    scale = Fraction(10) ** min(DIGITS - magnitude, _SMALLEST_PLACES)
    return Fraction(-(-(a * scale).numerator // (a * scale).denominator)) / scale

"""Rounding to a step, exactly, and numbers as they are printed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from proctool.model.measures import find_measure
from proctool.model.quantity import Quantity, parse
from proctool.model.rows import Amount, Way
from proctool.tables.dimension import factor
from proctool.tables.interval import Interval

_WRITTEN = re.compile(r"(up to|down to|nearest) (.+)")
_WAYS = {"up to": Way.UP, "down to": Way.DOWN, "nearest": Way.NEAREST}
_PLACES = 6
"""Most decimals of a number that is printed."""
_SERIES = (5, 2, 1)


@dataclass(frozen=True, slots=True)
class Rounding:
    """`up to 0.1 bar`."""

    way: Way
    step: Quantity


def parse_rounding(text: str) -> Rounding | str:
    """The rounding that a text says, or in plain words why it says none."""
    written = " ".join(text.split())
    match = _WRITTEN.fullmatch(written)
    if not match:
        return f"`{written[:40]}` is no rounding; expected `up to`, `down to` or `nearest` and a step."
    step = parse(match[2])
    if isinstance(step, str):
        return step
    if step.value <= 0:
        return f"A step is more than 0; found `{step}`."
    return Rounding(_WAYS[match[1]], step)


def rounded(number: Interval, step: Fraction, way: Way) -> Fraction:
    """The multiple of a step that a number is rounded to.

    Up is to the next that is not below it, down to the next that is not above it; nearest takes the nearest,
    and half-way between two the even one. Of a number that is known only between two ends the one is taken
    that makes the answer safe: rounding up looks at the high end.
    """
    if way is Way.UP:
        return -(-number.high // step) * step
    if way is Way.DOWN:
        return number.low // step * step
    return round(number.middle / step) * step


def size(step: Quantity, measure: str) -> Fraction:
    """A step as a difference in another measure of its kind: 9 °F is 5 °C."""
    return Fraction(step.value) * factor(step.measure) / factor(measure)


def rounded_step(largest: Fraction) -> Fraction:
    """The largest of ... 0.1, 0.2, 0.5, 1, 2, 5, 10 ... that is not above a number; the number is above 0."""
    power = Fraction(1)
    while power > largest:
        power /= 10
    while power * 10 <= largest:
        power *= 10
    return next(n * power for n in _SERIES if n * power <= largest)


def decimals(number: Fraction) -> int | None:
    """How many decimals a number has at least; None where they do not end, or are too many to print."""
    return next((n for n in range(_PLACES + 1) if (number * 10**n).denominator == 1), None)


def amount(number: Fraction, measure: str, step: Fraction | None = None) -> Amount:
    """A number as it is printed: with the decimals of its step; without one, with those that it has.

    What has no end is cut after four digits, and `about` stands before it.
    """
    places = decimals(number)
    if step is not None and places is not None:
        places = max(places, decimals(step) or 0)
    about = ""
    shown = number
    if places is None:
        about, places = "about ", _near(number)
        shown = Fraction(round(number * 10**places), 10**places)
    digits = f"{Decimal(int(shown * 10**places)).scaleb(-places):f}".replace("-", "\N{MINUS SIGN}")
    found = find_measure(measure)
    symbol = found.shown(digits == "1") if found is not None else measure
    return Amount(number, measure, f"{about}{digits} {symbol}".rstrip())


def _near(number: Fraction) -> int:
    """Decimals that leave four digits."""
    places = 3
    while places < _PLACES and abs(number) * 10**places < 1000:
        places += 1
    while places > 0 and abs(number) * 10**places >= 10_000:
        places -= 1
    return places


def outward(low: Fraction, high: Fraction, measure: str, step: Fraction) -> tuple[Amount, Amount]:
    """The ends of a stretch, exact, each printed rounded outwards to a step."""
    ends = []
    for end, way in ((low, Way.DOWN), (high, Way.UP)):
        shown = amount(rounded(Interval(end, end), step, way), measure, step)
        ends.append(Amount(end, measure, shown.text))
    return ends[0], ends[1]

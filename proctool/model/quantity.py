"""Quantities as people write them, read with exact decimals and compared exactly.

`4.0 bar`, `22 N·m` or `22 Nm`, `40 °C`, `25 %`, `1/4 turn`. What was written stays as written; comparing and
converting go through fractions, so nothing is ever rounded on the way. What can be written is in `measures`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import ceil, floor

from proctool.model.measures import Measure, find_measure, spellings
from proctool.model.nearest import did_you_mean

_LONGEST = 80
_MINUS = "\N{MINUS SIGN}"
_SIGN = f"[-{_MINUS}+]?"
_NUMBER = rf"{_SIGN}(?:[0-9]+ )?(?:[0-9]+/[0-9]+|[0-9]+(?:\.[0-9]+)?)"
_QUANTITY = re.compile(rf"({_NUMBER})(?![0-9.,/])\s*(.*)")
_DECIMAL_COMMA = re.compile(rf"{_SIGN}[0-9]+,[0-9]")
_EXPONENT = re.compile(rf"{_SIGN}[0-9.]+[eE]{_SIGN}[0-9]+")
_DASHED = re.compile("[0-9] ?[-\N{EN DASH}\N{EM DASH}] ?[0-9]")
_REMEMBERED = 4096
"""Texts whose reading is kept: a library says the same few over and over."""
_PLACES = 12
"""Most decimals of a fraction such as 1/64; thirds have no end and are refused."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with its measure. Two quantities are equal if written alike; `compare` compares their size."""

    written: str
    value: Decimal
    measure: str
    """Symbol of the measure in its one spelling (`N·m` for `Nm`); empty for a bare number."""

    def __str__(self) -> str:
        return self.written


@dataclass(frozen=True, slots=True)
class Range:
    """What a reading must lie in, both ends included. An end that is None is open."""

    written: str
    low: Quantity | None
    high: Quantity | None

    @property
    def measure(self) -> str:
        """The measure of the range: that of its low end if it has one."""
        end = self.low or self.high
        return end.measure if end else ""

    def holds(self, quantity: Quantity) -> bool | None:
        """Whether the quantity lies in the range; None where the kinds differ and nothing can be said."""
        above = compare(quantity, self.low) if self.low else 0
        below = compare(quantity, self.high) if self.high else 0
        return None if above is None or below is None else above >= 0 >= below

    def __str__(self) -> str:
        return self.written


@lru_cache(_REMEMBERED)
def parse(text: str) -> Quantity | str:
    """The quantity that a text says, or in plain words why it says none."""
    written = " ".join(text.split())
    if not written:
        return "There is nothing here; expected a quantity such as `4.0 bar`."
    if len(written) > _LONGEST:
        return f"This is longer than {_LONGEST} characters; expected a quantity such as `4.0 bar`."
    if _DECIMAL_COMMA.match(written):
        return f"`{written}` has a comma in its number; write a decimal point, and nothing between thousands."
    if _EXPONENT.match(written):
        return f"`{written}` has an exponent; write the number out, or take another measure."
    match = _QUANTITY.fullmatch(written)
    if not match:
        return f"`{written}` is not a quantity; expected a number and a measure such as `4.0 bar`."
    value = _number(match[1])
    if isinstance(value, str):
        return value
    measure = find_measure(match[2])
    if measure is None:
        return f"`{match[2]}` is not a measure that is known here.{did_you_mean(match[2], spellings())}"
    return Quantity(written, value, measure.symbol)


def _number(text: str) -> Decimal | str:
    """A written number, or why it is none: `4.0`, `-40`, `1/4`, `1 1/2`."""
    sign = -1 if text[0] in ("-", _MINUS) else 1
    whole, _, part = text.lstrip(f"-{_MINUS}+").rpartition(" ")
    if re.match(r"0[0-9]", whole or part):
        return f"`{text}` starts with a needless 0; write the number without it."
    if "/" not in part:
        return f"`{text}` has a gap; write the digits together." if whole else sign * Decimal(part)
    over, under = (int(n) for n in part.split("/"))
    if under == 0:
        return f"`{text}` divides by nothing."
    exact = sign * (int(whole or 0) + Fraction(over, under))
    places = next((p for p in range(_PLACES + 1) if (exact * 10**p).denominator == 1), None)
    if places is None:
        return f"`{text}` has no end as a decimal; write it rounded, to the side that is safe."
    return Decimal(int(exact * 10**places)).scaleb(-places)


@lru_cache(_REMEMBERED)
def parse_range(text: str) -> Range | str:
    """The range that a text says, or why it says none.

    `2.0 to 6.0 bar`, `0 °C to 40 °C`, `40 °C or less`, `0.5 bar or more`; a quantity alone is a range of
    one point.
    """
    written = " ".join(text.split())
    for ending, is_high in ((" or less", True), (" or more", False)):
        if written.endswith(ending):
            end = parse(written.removesuffix(ending))
            if isinstance(end, str):
                return end
            return Range(written, None, end) if is_high else Range(written, end, None)
    first, to, last = written.partition(" to ")
    if not to:
        point = parse(written)
        if isinstance(point, Quantity):
            return Range(written, point, point)
        if _DASHED.search(written):
            return f"`{written[:_LONGEST]}` is not a range; write `to` between its ends."
        return f"{point} A range is `2.0 to 6.0 bar`, `40 °C or less` or `0.5 bar or more`."
    high = parse(last)
    if isinstance(high, str):
        return high
    low = parse(first)
    if isinstance(low, Quantity) and not low.measure and high.measure:
        low = parse(f"{first} {high.measure}")
    if isinstance(low, str):
        return low
    order = compare(low, high)
    if order is None:
        return f"`{written}` has ends of different kinds: {_kind(low.measure)} and {_kind(high.measure)}."
    if order > 0:
        return f"`{written}` has its ends the wrong way round; write the lower one first."
    return Range(written, low, high)


def dimension(measure: str) -> str:
    """The kind of quantity of a measure, such as `pressure`; `absolute_pressure` is another kind.

    Raises ValueError for a measure that is not listed.
    """
    return _measure(measure).dimension


def convert(quantity: Quantity, measure: str) -> Fraction:
    """The exact number of the quantity in another measure of its kind.

    Raises ValueError for a measure that is not listed, and for one of another kind: gauge and absolute
    pressure, temperature and difference of temperatures, months and days have no fixed ratio.
    """
    source, target = _measure(quantity.measure), _measure(measure)
    if source.dimension != target.dimension:
        kinds = f"{_kind(quantity.measure)} is another kind than {_kind(measure)}"
        raise ValueError(f"`{quantity}` cannot be converted to `{measure}`: {kinds}")
    slope, offset = _conversion(source, target)
    return Fraction(quantity.value) * slope + offset


def compare(a: Quantity, b: Quantity) -> int | None:
    """-1, 0 or 1 as `a` is less than, equal to or more than `b`, exactly; None where their kinds differ."""
    if dimension(a.measure) != dimension(b.measure):
        return None
    left, right = convert(a, b.measure), Fraction(b.value)
    return (left > right) - (left < right)


def show(quantity: Quantity, measures: tuple[str, ...]) -> str:
    """The quantity in the measures a library shows: the first of its kind, the rest in brackets.

    What was written keeps its digits. What is converted gets the fewest decimals at which rounding adds no
    more than a tenth of the last written digit, and none that only say 0 where it is exact:
    `4.0 bar (58.0 psi)`, `40 °C (104 °F)`. It is rounded to the nearest: a limit that must lie on the safe
    side is rounded by its table. Without a measure of its kind the quantity is shown in its own.
    """
    first, *rest = (_shown(quantity, measure) for measure in _wanted(quantity.measure, measures))
    return f"{first} ({', '.join(rest)})" if rest else first


def show_range(limits: Range, measures: tuple[str, ...]) -> str:
    """The range in the measures a library shows: the first of its kind, the rest in brackets.

    As `show`, but a converted end is rounded into the range, the low one up and the high one down, so that
    no reading passes in one measure that fails in another: `2.0 to 6.0 bar (29.1 to 87.0 psi)`,
    `40 °C or less (104 °F or less)`.
    """
    if limits.low is not None and limits.low == limits.high:
        return show(limits.low, measures)
    wanted = _wanted(limits.measure, measures)
    first, *rest = (_shown_range(limits, measure) for measure in wanted)
    return f"{first} ({', '.join(rest)})" if rest else first


def show_text(text: str, shows: ReadOnly[str, tuple[str, ...]]) -> str:
    """A text that says a quantity or a range in the measures shown for its kind; any other as it is."""
    quantity = parse(text)
    if isinstance(quantity, Quantity):
        return show(quantity, shows.get(dimension(quantity.measure), ())) if quantity.measure else text
    limits = parse_range(text)
    if isinstance(limits, str) or not limits.measure:
        return text
    return show_range(limits, shows.get(dimension(limits.measure), ()))


def _wanted(measure: str, measures: tuple[str, ...]) -> tuple[Measure, ...]:
    """Those of the measures that are of the kind of one; itself where none is."""
    kind = dimension(measure)
    found = (m for m in map(_measure, measures) if m.dimension == kind)
    return tuple(dict.fromkeys(found)) or (_measure(measure),)


def _shown(quantity: Quantity, measure: Measure) -> str:
    digits = _digits(quantity, measure, _step(quantity, measure), round)
    return f"{digits} {measure.shown(digits == '1')}".rstrip()


def _shown_range(limits: Range, measure: Measure) -> str:
    finest = min(_step(end, measure) for end in (limits.low, limits.high) if end is not None)
    low = _digits(limits.low, measure, finest, ceil) if limits.low else ""
    high = _digits(limits.high, measure, finest, floor) if limits.high else ""
    if low and high:
        return f"{low} to {high} {measure.shown(high == '1')}".rstrip()
    end, side = (low, "or more") if low else (high, "or less")
    return " ".join(filter(None, (end, measure.shown(end == "1"), side)))


def _digits(quantity: Quantity, measure: Measure, step: Fraction, way: Callable[[Fraction], int]) -> str:
    """The number of a quantity in a measure; `step` is one unit of the last digit that counts."""
    if measure.symbol == quantity.measure:
        number = _QUANTITY.fullmatch(quantity.written)
        digits = number[1] if number else str(quantity.value)
    else:
        digits = _rounded(convert(quantity, measure.symbol), step / 5, way)
    return digits.replace("-", _MINUS)


def _step(quantity: Quantity, measure: Measure) -> Fraction:
    """One unit of the last written digit, in another measure."""
    slope, _ = _conversion(_measure(quantity.measure), measure)
    exponent = quantity.value.as_tuple().exponent
    return abs(slope) * Fraction(10) ** (exponent if isinstance(exponent, int) else 0)


def _rounded(exact: Fraction, finest: Fraction, way: Callable[[Fraction], int]) -> str:
    """`exact` to the largest power of ten that is not above `finest`, but never to tens."""
    places = 0
    while Fraction(1, 10**places) > finest:
        places += 1
    digits = way(exact * 10**places)
    text = f"{Decimal(digits).scaleb(-places):f}"
    if Fraction(digits, 10**places) == exact and "." in text:
        text = text.rstrip("0").rstrip(".")
    return text


def _kind(measure: str) -> str:
    return dimension(measure).replace("_", " ")


def _measure(symbol: str) -> Measure:
    found = find_measure(symbol)
    if found is None:
        raise ValueError(f"`{symbol}` is not a known measure.{did_you_mean(symbol, spellings())}")
    return found


def _conversion(source: Measure, target: Measure) -> tuple[Fraction, Fraction]:
    """Slope and offset of the straight line from one measure to another, exact."""
    return source.size / target.size, (source.zero - target.zero) / target.size

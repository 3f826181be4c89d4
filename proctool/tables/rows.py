"""The rows of a reading: `2.0 to 6.0 bar by 0.5 bar`, and every combination of several readings."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from proctool.model.quantity import Quantity, dimension, parse, parse_range
from proctool.tables.dimension import DIFFERENCE, TEMPERATURE
from proctool.tables.rounding import amount, size

MOST = 500
"""Rows of one table, all combinations counted."""
_BY = re.compile(r"(.+) by (.+)")


@dataclass(frozen=True, slots=True)
class Rows:
    """The rows of one reading, in the measure of its ends. Both ends are rows."""

    low: Fraction
    high: Fraction
    step: Fraction
    """0 for a single row."""
    measure: str
    places: Fraction
    """One unit of the last decimal written."""

    @property
    def count(self) -> int:
        """How many rows there are."""
        return int((self.high - self.low) / self.step) + 1 if self.step else 1

    def values(self) -> list[Fraction]:
        """The rows, from low to high."""
        return [self.low + n * self.step for n in range(self.count)]


def parse_rows(text: str) -> Rows | str:
    """The rows that a text says, or in plain words why it says none.

    Both ends and the step are written in one measure; of temperatures the step may be in K as well. A
    quantity alone is one row.
    """
    written = " ".join(text.split())
    match = _BY.fullmatch(written)
    if not match:
        one = parse(written)
        if isinstance(one, Quantity):
            value = Fraction(one.value)
            return Rows(value, value, Fraction(0), one.measure, last_place(one))
        return f"`{written[:60]}` has no step; expected rows such as `2.0 to 6.0 bar by 0.5 bar`."
    ends, step = parse_range(match[1]), parse(match[2])
    if isinstance(ends, str):
        return ends
    if isinstance(step, str):
        return step
    if ends.low is None or ends.high is None:
        return f"`{ends}` has no end; write both ends, such as `2.0 to 6.0 bar`."
    measure = ends.low.measure
    by_kelvin = (dimension(measure), dimension(step.measure)) == (TEMPERATURE, DIFFERENCE)
    if ends.high.measure != measure or (step.measure != measure and not by_kelvin):
        return f"`{written}` mixes measures; write both ends and the step in `{measure}`."
    if step.value <= 0:
        return f"A step is more than 0; found `{step}`."
    low, high, by = Fraction(ends.low.value), Fraction(ends.high.value), size(step, measure)
    places = min(map(last_place, (ends.low, ends.high, step)))
    rest = (high - low) % by
    if rest:
        near = [amount(end, measure, places).text for end in (high - rest, high - rest + by)]
        return f"`{ends.high}` is off the step of `{step}` from `{ends.low}`; write {near[0]} or {near[1]}."
    return Rows(low, high, by, measure, places)


def combinations(columns: Sequence[Rows]) -> list[tuple[Fraction, ...]] | str:
    """Every combination of the rows of several readings, the last turning fastest; or why there are none."""
    total = 1
    for rows in columns:
        total *= rows.count
    if total > MOST:
        return f"These are {total:,} rows; a table has at most {MOST}. Take larger steps."
    return list(product(*(rows.values() for rows in columns)))


def last_place(quantity: Quantity) -> Fraction:
    """One unit of the last decimal of a quantity as written."""
    exponent = quantity.value.as_tuple().exponent
    return Fraction(10) ** (exponent if isinstance(exponent, int) else 0)

"""Readings between two rows: which of the two is safe to use."""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from collections.abc import Sequence as Many
from dataclasses import replace
from fractions import Fraction

from proctool.model.quantity import Quantity
from proctool.model.rows import Way
from proctool.tables.answers import Answer
from proctool.tables.dimension import base_value, factor, to_base
from proctool.tables.evaluate import slope_sign
from proctool.tables.gauges import error_at, stretches
from proctool.tables.interval import Interval, point
from proctool.tables.readings import Reading


def with_nearby(
    answers: Many[Answer],
    readings: Many[Reading],
    values: ReadOnly[str, Quantity],
    rows: Many[Many[Fraction]],
) -> tuple[Answer, ...]:
    """The answers, each knowing which neighbouring row is safe for a reading between two rows."""
    return tuple(
        replace(answer, column=replace(answer.column, nearby=_nearby(answer, readings, values, rows)))
        for answer in answers
    )


def _nearby(
    answer: Answer,
    readings: Many[Reading],
    values: ReadOnly[str, Quantity],
    rows: Many[Many[Fraction]],
) -> tuple[Way | None, ...]:
    """For each reading the safe way to a row; None where the answer both rises and falls, or has no side.

    The answer must go one way all over the table, and as far beyond as its gauges and the steps of other
    measures reach.
    """
    safe = answer.column.safe_way
    if safe is None:
        return tuple(None for _ in readings)
    box = {name: point(base_value(quantity)) for name, quantity in values.items()}
    for place, reading in enumerate(readings):
        numbers = [row[place] for row in rows]
        box[reading.column.name] = _reach(reading, min(numbers), max(numbers))
    ways = []
    for reading in readings:
        sign = slope_sign(answer.formula, reading.column.name, box)
        rising = None if sign is None else sign >= 0
        ways.append(None if rising is None else Way.UP if rising == (safe is Way.UP) else Way.DOWN)
    return tuple(ways)


def _reach(reading: Reading, low: Fraction, high: Fraction) -> Interval:
    """All readings that may be looked up in rows from `low` to `high`, in coherent measures."""
    column = reading.column
    ends = [to_base(end, column.measure) for end in (low, high)]
    parts = stretches(column.gauge) or ()
    errors = [error_at(parts, end) for end in ends] if parts else []
    steps = [step * factor(measure) for measure, step in reading.also.items()]
    beyond = max([*errors, *steps, Fraction(0)])
    return Interval(ends[0] - beyond, ends[1] + beyond)

"""What a gauge leaves open: its error along the scale, and how far an error moves a limit.

An accuracy is written as a share of the span (`1.6 %`, the span and not the reading), as an amount
(`0.1 bar`), as `class 1.6` (EN 837-1: the number is the error in per cent of the span; from memory) or as
`grade B` (ASME B40.100; the table below). The span is `10 bar`, which starts at 0, or `-1 to 9 bar`.

How far off a reading can be is the accuracy there and half a division, since a pointer between two marks is
read as the nearer one.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias, TypeVar

from proctool.model.document import Scalar
from proctool.model.quantity import Quantity, Range, parse, parse_range
from proctool.model.quantity import dimension as kind_of
from proctool.model.rows import ErrorBand, Gauge
from proctool.model.span import Span
from proctool.model.unit import Part
from proctool.tables.dimension import base_value, factor, from_base, to_base
from proctool.tables.rounding import size

GRADES: dict[str, tuple[Fraction, Fraction]] = {
    "4A": (Fraction(1, 10), Fraction(1, 10)),
    "3A": (Fraction(1, 4), Fraction(1, 4)),
    "2A": (Fraction(1, 2), Fraction(1, 2)),
    "1A": (Fraction(1), Fraction(1)),
    "A": (Fraction(2), Fraction(1)),
    "B": (Fraction(3), Fraction(2)),
    "C": (Fraction(4), Fraction(3)),
    "D": (Fraction(5), Fraction(5)),
}
"""ASME B40.100: error in per cent of the span in the lower and upper quarter, and in the middle half.

The standard itself was not at hand. A: a maker's page on the grades and memory; B: a US Army text
(MM04868); 4A to 1A and D: second hand; C: from memory.
"""
_GRADE = re.compile(f"grade ({'|'.join(GRADES)})")
_CLASS = re.compile(r"class ([0-9]+(?:\.[0-9]+)?)")
_FINEST = 2
"""ASME B40.100: the smallest division is at most twice the error of the middle half."""

_T = TypeVar("_T")
Fault: TypeAlias = Callable[[str, Span], None]
"""Notes what is wrong with a text, and where it stands."""


def read_gauge(part: Part, fault: Fault) -> Gauge:
    """A gauge from its part. Texts that cannot be read are noted; what the file does not say is None."""
    texts = {name: _scalar(part, name) for name in ("span", "accuracy", "division", "usual")}
    scale = _read(texts["span"], parse_range, "span", fault)
    usual = _read(texts["usual"], parse_range, "usual", fault)
    division = _read(texts["division"], parse, "division", fault)
    measure = next((r.measure for r in (scale, usual, division) if r is not None), "")
    low, high = _scale(scale, texts["span"], fault)
    fitting = [
        (name, found)
        for name, found in (("usual", usual), ("division", division))
        if found is not None and kind_of(found.measure) != kind_of(measure)
    ]
    for name, found in fitting:
        _wrong(texts[name], f"`{found}` is of another kind than the span of {part.label}.", fault)
    if fitting:
        usual = division = None
    graded = bool(_GRADE.fullmatch(part.text("accuracy") or ""))
    return Gauge(
        id=part.id,
        label=part.label,
        measure=measure,
        low=low,
        high=high,
        accuracy=_accuracy(texts["accuracy"], low, high, measure, fault),
        division=size(division, measure) if division is not None else None,
        usual=tuple_of(usual, measure) if usual is not None else None,
        graded=graded,
        span=part.span,
    )


def tuple_of(found: Range, measure: str) -> tuple[Fraction | None, Fraction | None]:
    """The ends of a range in a measure of its kind."""
    low, high = (from_base(base_value(end), measure) if end else None for end in (found.low, found.high))
    return low, high


def _scale(scale: Range | None, text: Scalar | None, fault: Fault) -> tuple[Fraction | None, Fraction | None]:
    """Both ends of a scale; `10 bar` alone starts at 0."""
    if scale is None or text is None:
        return None, None
    low, high = tuple_of(scale, scale.measure)
    if low == high:
        low = Fraction(0)
    if low is None or high is None or low >= high:
        _wrong(text, f"`{scale}` is no span; expected `10 bar` or `-1 to 9 bar`.", fault)
        return None, None
    return low, high


def _accuracy(
    text: Scalar | None, low: Fraction | None, high: Fraction | None, measure: str, fault: Fault
) -> tuple[ErrorBand, ...] | None:
    if text is None:
        return None
    if low is None or high is None:
        _wrong(text, "An accuracy needs a `span` beside it.", fault)
        return None
    written = " ".join(text.text.split())
    span = high - low
    if grade := _GRADE.fullmatch(written):
        ends, middle = (share * span / 100 for share in GRADES[grade[1]])
        first, last = low + span / 4, high - span / 4
        return ErrorBand(low, first, ends), ErrorBand(first, last, middle), ErrorBand(last, high, ends)
    if share := _CLASS.fullmatch(written):
        return (ErrorBand(low, high, Fraction(share[1]) * span / 100),)
    found = parse(written)
    if isinstance(found, Quantity) and found.value >= 0:
        if found.measure == "%":
            return (ErrorBand(low, high, Fraction(found.value) * span / 100),)
        if found.measure and kind_of(found.measure) == kind_of(measure):
            return (ErrorBand(low, high, size(found, measure)),)
    known = ", ".join(GRADES)
    expected = f"expected `1.6 %` of the span, `0.1 {measure}`, `class 1.6`, or `grade` and one of {known}"
    _wrong(text, f"`{written[:40]}` is no accuracy; {expected}.", fault)
    return None


def largest_division(gauge: Gauge) -> Fraction | None:
    """The largest division that ASME B40.100 lets a gauge of a grade have; None for other gauges."""
    if not gauge.graded or gauge.accuracy is None:
        return None
    return _FINEST * min(band.error for band in gauge.accuracy)


# -- how an error moves a limit


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of a scale, ends included, and the error there. None is without end."""

    low: Fraction | None
    high: Fraction | None
    error: Fraction


def stretches(gauge: Gauge | None) -> tuple[Stretch, ...] | None:
    """The error of a gauge in coherent measures, half a division included; None where it is unknown.

    Beyond the ends of the scale the error of the end is taken to go on. Without a gauge (a value that is
    counted or written down) there is no error.
    """
    if gauge is None:
        return (Stretch(None, None, Fraction(0)),)
    if gauge.accuracy is None:
        return None
    read = (gauge.division or Fraction(0)) / 2
    found = [
        Stretch(
            to_base(band.low, gauge.measure),
            to_base(band.high, gauge.measure),
            (band.error + read) * factor(gauge.measure),
        )
        for band in gauge.accuracy
    ]
    found[0] = Stretch(None, found[0].high, found[0].error)
    found[-1] = Stretch(found[-1].low, None, found[-1].error)
    return tuple(found)


def mirrored(parts: Iterable[Stretch]) -> tuple[Stretch, ...]:
    """The stretches of a scale that is read with its sign turned."""
    turned = [
        Stretch(
            None if part.high is None else -part.high,
            None if part.low is None else -part.low,
            part.error,
        )
        for part in parts
    ]
    return tuple(reversed(turned))


def error_at(parts: Iterable[Stretch], reading: Fraction) -> Fraction:
    """The error at a reading; where two stretches meet the larger one."""
    return max(
        part.error
        for part in parts
        if (part.low is None or part.low <= reading) and (part.high is None or reading <= part.high)
    )


def last_open(parts: Iterable[Stretch], limit: Fraction) -> Fraction:
    """The highest reading that leaves open whether the true value is at or below a limit.

    Every reading above it is surely above the limit.
    """
    ends = [
        limit + part.error if part.high is None else min(part.high, limit + part.error)
        for part in parts
        if part.low is None or limit + part.error >= part.low
    ]
    return max(ends)


def last_sure(parts: Iterable[Stretch], limit: Fraction) -> Fraction:
    """The highest reading up to which every lower reading is surely at or below a limit."""
    starts = [
        limit - part.error if part.low is None else max(part.low, limit - part.error)
        for part in parts
        if part.high is None or limit - part.error < part.high
    ]
    return min(starts)


# -- small pieces


def _scalar(part: Part, name: str) -> Scalar | None:
    value = part.properties.get(name)
    return value if isinstance(value, Scalar) else None


def _read(text: Scalar | None, read: Callable[[str], _T | str], name: str, fault: Fault) -> _T | None:
    if text is None:
        return None
    found = read(text.text)
    if isinstance(found, str):
        _wrong(text, f"`{name}`: {found}", fault)
        return None
    return found


def _wrong(text: Scalar | None, message: str, fault: Fault) -> None:
    if text is not None:
        fault(message, text.span)

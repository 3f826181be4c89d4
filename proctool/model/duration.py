"""Durations as people write them: a quantity or a range of time, above nothing."""

from __future__ import annotations

import re

from proctool.model.quantity import Quantity, dimension, parse, parse_range

_STARTS_AS_NUMBER = re.compile(r"\s*[-+\u2212]?\s*[0-9]")
_KINDS = frozenset({"time", "calendar"})
_LONGEST = 40


def duration_fault(text: str) -> str | None:
    """Why a text that starts as a number says no duration, as a sentence; None where it says one.

    A text that starts with a word (`until it stops`) is for people, and left alone.
    """
    if not _STARTS_AS_NUMBER.match(text):
        return None
    said = text if len(text) <= _LONGEST else text[: _LONGEST - 1] + "…"
    quantity, found = parse(text), parse_range(text)
    if isinstance(found, str):
        return f"`{said}` cannot be read: {quantity if isinstance(quantity, str) else found}"
    ends = [end for end in (found.low, found.high) if end is not None]
    other = next((end for end in ends if dimension(end.measure) not in _KINDS), None)
    if other is not None:
        return f"`{said}` is {_what(other)}; expected a duration such as `40 min`."
    return None if all(end.value > 0 for end in ends) else f"`{said}` is no duration: expected more than 0."


def _what(quantity: Quantity) -> str:
    return dimension(quantity.measure).replace("_", " ") if quantity.measure else "a bare number"

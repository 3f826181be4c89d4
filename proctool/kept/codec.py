"""Results as JSON and back, by the types of their fields."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from typing import TypeVar, get_origin

from cattrs.preconf.json import JsonConverter, make_converter

T = TypeVar("T")


class DamagedError(ValueError):
    """What was kept is not what it should be."""


def encode(value: object) -> bytes:
    """A dataclass of ours, with all in it, as JSON."""
    return _converter().dumps(value).encode()


def decode(data: bytes, kind: type[T]) -> T:
    """What `encode` made of a value of that kind.

    Raises:
        DamagedError: it is no JSON, or not of that kind.
    """
    try:
        return _converter().loads(data.decode(), kind)
    except Exception as error:  # whatever is wrong with it, it cannot be used
        raise DamagedError(f"not a {kind.__name__}: {error}") from error


@cache
def _converter() -> JsonConverter:
    converter = make_converter(forbid_extra_keys=True, omit_if_default=True)
    converter.register_unstructure_hook_func(
        _is_set,
        lambda value: sorted(map(converter.unstructure, value), key=repr),  # the same bytes in every process
    )
    converter.register_unstructure_hook(Fraction, str)
    converter.register_structure_hook(Fraction, lambda value, _: _fraction(value))
    return converter


def _fraction(text: str) -> Fraction:
    """A fraction as `str` writes it. `1e999999999` is one to Python, and takes all the time there is."""
    if not re.fullmatch(r"-?[0-9]+(/[0-9]+)?", text):
        raise ValueError("no fraction")
    return Fraction(text)


def _is_set(kind: object) -> bool:
    origin: object = get_origin(kind)
    return origin is frozenset

"""Fingerprints: a short one of what a manual was made from, and the exact one of any of our values."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping as ReadOnly
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
from fractions import Fraction

from proctool.model.plan import Plan
from proctool.model.span import Span
from proctool.model.verdict import Judgement

_LENGTH = 12
_PLAIN = frozenset({str, int, bool, type(None)})


def digest(plan: Plan, judgement: Judgement) -> str:
    """Twelve hexadecimal digits of the SHA-256 of plan and verdict.

    Where things stand in their files does not count: moving lines or adding comments changes nothing.
    """
    whole = json.dumps([_plain(plan), _plain(judgement)], sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(whole.encode()).hexdigest()[:_LENGTH]


def exact(value: object) -> str:
    """The SHA-256 of a value, in hexadecimal digits: of all that it says, places in files too.

    Raises:
        TypeError: something in it is of a kind that is not known here: a change in it might be missed.
    """
    return hashlib.sha256(json.dumps(_exact(value), separators=(",", ":")).encode()).hexdigest()


def _plain(value: object) -> object:
    if isinstance(value, Enum):
        return value.value
    if is_dataclass(value) and not isinstance(value, type):
        inner = ((f.name, getattr(value, f.name)) for f in fields(value))
        return {name: _plain(item) for name, item in inner if not isinstance(item, Span)}
    if isinstance(value, ReadOnly):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, (tuple, list)):
        return [_plain(item) for item in value]
    if isinstance(value, (set, frozenset)):
        return sorted(str(_plain(item)) for item in value)
    return value


def _exact(value: object) -> object:
    """Lists, texts and numbers that no other value of ours is turned into."""
    kind = type(value)
    if kind in _PLAIN:
        return value
    names = _names(kind)
    if names is not None:
        return [kind.__name__, *[_exact(getattr(value, name)) for name in names]]
    if isinstance(value, (tuple, list)):
        return ["(", *map(_exact, value)]
    if isinstance(value, ReadOnly):
        return ["{", *[(_exact(key), _exact(item)) for key, item in value.items()]]
    if isinstance(value, (set, frozenset)):
        return ["<", *sorted(json.dumps(_exact(item)) for item in value)]
    if isinstance(value, bytes):
        return ["b", hashlib.sha256(value).hexdigest()]
    if isinstance(value, (Enum, Fraction, float, date)):
        return [kind.__name__, str(value)]
    raise TypeError(f"no fingerprint for {kind.__name__}")


_FIELDS: dict[type, tuple[str, ...] | None] = {}


def _names(kind: type) -> tuple[str, ...] | None:
    """The fields of a dataclass; None for any other type."""
    if kind not in _FIELDS:
        _FIELDS[kind] = tuple(field.name for field in fields(kind)) if is_dataclass(kind) else None
    return _FIELDS[kind]

"""A short fingerprint of what a manual was made from."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping as ReadOnly
from dataclasses import fields, is_dataclass
from enum import Enum

from proctool.model.plan import Plan
from proctool.model.span import Span
from proctool.model.verdict import Judgement

_LENGTH = 12


def digest(plan: Plan, judgement: Judgement) -> str:
    """Twelve hexadecimal digits of the SHA-256 of plan and verdict.

    Where things stand in their files does not count: moving lines or adding comments changes nothing.
    """
    whole = json.dumps([_plain(plan), _plain(judgement)], sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(whole.encode()).hexdigest()[:_LENGTH]


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

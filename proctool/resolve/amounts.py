"""Quantities where the file format asks for one: readable, and in a measure that exists."""

from __future__ import annotations

import re

from proctool.model.document import Mapping, Node, Scalar
from proctool.model.duration import duration_fault
from proctool.model.finding import Finding, file_fault
from proctool.model.procedure import Entry
from proctool.model.quantity import parse, parse_range

_NUMBER = re.compile(r"\s*[-+\u2212]?\s*[0-9]")
_OF_ENERGY = ("normal", "safe")
_LONGEST = 40
_OF_PART = ("span", "accuracy", "division", "usual", "tighten")


def amount_fault(node: Node | None) -> Finding | None:
    """A finding for a text that starts as a quantity or range and cannot be read as one.

    A text that starts with a word is no quantity (`tighten: until it stops`) and is left alone.
    """
    if not isinstance(node, Scalar) or not _NUMBER.match(node.text):
        return None
    quantity = parse(node.text)
    if not isinstance(quantity, str) or not isinstance(parse_range(node.text), str):
        return None
    said = node.text if len(node.text) <= _LONGEST else node.text[: _LONGEST - 1] + "…"
    return file_fault("file/quantity", f"`{said}` cannot be read: {quantity}", node.span)


def unit_amounts(whole: Mapping) -> tuple[Finding, ...]:
    """Faults in the quantities of a unit's energies and parts."""
    texts: list[Node | None] = []
    for group, keys in (("energies", _OF_ENERGY), ("parts", _OF_PART)):
        members = whole.get(group)
        for _, member in members.entries if isinstance(members, Mapping) else ():
            if isinstance(member, Mapping):
                texts += (member.get(key) for key in keys)
                waits = member.get("leaves_in")
                texts += (value for _, value in waits.entries) if isinstance(waits, Mapping) else ()
    return tuple(fault for text in texts if (fault := amount_fault(text)) is not None)


def entry_amounts(entry: Entry) -> tuple[Finding, ...]:
    """Faults in the durations and limits of a step."""
    reads = entry.until.get("reads") if entry.until is not None else None
    found = [amount_fault(text) for text in (entry.within, reads)]
    if entry.lasts is not None and (wrong := duration_fault(entry.lasts.text)) is not None:
        found.append(file_fault("file/quantity", wrong, entry.lasts.span))
    return tuple(fault for fault in found if fault is not None)

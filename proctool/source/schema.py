"""Whether a tree has the shape of its kind of file, by the schemas in `schemas/`.

The schemas serve editors as well, which see numbers and booleans where we keep the text as written; so they
allow both. What they cannot say is checked here and in `values`: what kind of file it is, that a property of
one's own is not a slip for one that the proof reads, that measures and tables exist.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import lru_cache, reduce
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from proctool.model.document import Kind, Mapping, plain_data
from proctool.model.finding import Finding, file_fault
from proctool.model.nearest import did_you_mean, distance, folded
from proctool.source.accept import Accepts, acceptor, pattern
from proctool.source.messages import findings_of
from proctool.source.names import name_faults
from proctool.source.text import shortened
from proctool.source.values import value_faults

if TYPE_CHECKING:
    from jsonschema import Draft202012Validator

MAX_FINDINGS = 20
"""After so many faults in one file the rest is only counted."""
_SHARED = "steps.schema.json"


def schema_text(name: str) -> str:
    """The text of one schema file, such as `unit.schema.json`."""
    return (files("proctool.schemas") / name).read_text(encoding="utf-8")


@lru_cache(maxsize=1)
def _schemas() -> dict[str, Any]:
    """All schemas by file, every reference in them replaced by what it refers to.

    Looking references up is most of what validating costs. Steps hold steps, so the schemas go in circles.
    """
    names = [_SHARED, *(f"{kind}.schema.json" for kind in Kind)]
    whole = {name: json.loads(schema_text(name)) for name in names}
    waiting, seen = [(schema, name) for name, schema in whole.items()], set[int]()
    while waiting:
        node, file = waiting.pop()
        if id(node) in seen:
            continue
        seen.add(id(node))
        for key, value in list(node.items() if isinstance(node, dict) else enumerate(node)):
            if isinstance(value, dict | list):
                node[key], home = _referred(value, file, whole)
                waiting.append((node[key], home))
    return whole


def _referred(node: Any, file: str, whole: dict[str, Any]) -> tuple[Any, str]:  # noqa: ANN401 - JSON
    """What a reference refers to in the end, and its file; beside one stand only words for editors."""
    while isinstance(node, dict) and "$ref" in node:
        other, _, inside = node["$ref"].partition("#")
        file = other or file
        node = reduce(lambda at, key: at[key], filter(None, inside.split("/")), whole[file])
    return node, file


@lru_cache(maxsize=len(Kind))
def _acceptor(kind: Kind) -> Accepts:
    return acceptor(_schemas()[f"{kind}.schema.json"])


@lru_cache(maxsize=len(Kind))
def _validator(kind: Kind) -> Draft202012Validator:
    from jsonschema import Draft202012Validator  # noqa: PLC0415 - takes a while, and only faulty files need it
    from jsonschema.exceptions import ValidationError  # noqa: PLC0415
    from jsonschema.validators import extend  # noqa: PLC0415

    def matches(_: object, said: str, data: object, __: object) -> Iterator[ValidationError]:
        if isinstance(data, str) and not pattern(said).search(data):
            yield ValidationError(f"{data!r} does not match {said!r}")

    with_pattern: Any = extend  # its types say nothing
    validator: type[Draft202012Validator] = with_pattern(Draft202012Validator, {"pattern": matches})
    return validator(_schemas()[f"{kind}.schema.json"])


def validate(file: str, root: Mapping) -> tuple[Kind | None, tuple[Finding, ...]]:
    """The kind of a file and what is wrong with its shape, the first faults of the file first."""
    kind, wrong = _kind(root)
    if wrong is not None or kind is None:
        return None, (wrong,) if wrong is not None else ()
    data = plain_data(root)
    errors = [] if _acceptor(kind)(data) else list(_validator(kind).iter_errors(data))
    told, untold = findings_of(errors, root, kind, 2 * MAX_FINDINGS)
    findings = [*told, *_slips(kind, root), *value_faults(kind, root), *name_faults(kind, root)]
    findings.sort(key=lambda finding: finding.sort_key)
    rest = findings[MAX_FINDINGS:]
    if rest:
        more = f"And {len(rest) + untold:,} more faults in this file."
        findings = [*findings[:MAX_FINDINGS], file_fault("file/schema", more, rest[0].span or root.span)]
    return kind, tuple(findings)


def _kind(root: Mapping) -> tuple[Kind | None, Finding | None]:
    """What the first key says that the file is."""
    kinds = [kind.value for kind in Kind]
    if not root.entries:
        return None, file_fault("file/schema", f"The map is empty; expected {_one_of(kinds)}.", root.span)
    first = root.entries[0][0]
    if first.text in kinds:
        return Kind(first.text), None
    later = [key for key, _ in root if key.text in kinds]
    if len(later) == 1:
        message = f"`{later[0].text}` says what this file is and must be its first key."
        return None, file_fault("file/schema", message, later[0].span)
    message = f"The first key says what a file is: {_one_of(kinds)}; found `{shortened(first.text)}`."
    return None, file_fault("file/schema", message + did_you_mean(first.text, kinds), first.span)


def _one_of(words: list[str]) -> str:
    return ", ".join(f"`{word}`" for word in words[:-1]) + f" or `{words[-1]}`"


@lru_cache(maxsize=1)
def _part_properties() -> frozenset[str]:
    return frozenset(json.loads(schema_text("unit.schema.json"))["$defs"]["part"]["properties"])


def _slips(kind: Kind, root: Mapping) -> tuple[Finding, ...]:
    """Free properties of parts that are a slip away from one the proof reads.

    A part may have properties of its own, so `rebuild` for `rebuilds` would pass as one and the proof would
    take the part for harmless.
    """
    parts = root.get("parts") if kind in {Kind.UNIT, Kind.BASE} else None
    if not isinstance(parts, Mapping):
        return ()
    found = []
    for _, part in parts:
        for key, _value in part if isinstance(part, Mapping) else ():
            meant = _meant(key.text)
            if meant is not None:
                message = f"`{key.text}` is nearly `{meant}`, which has a meaning for parts."
                help_ = f"Write `{meant}`, or give your own property a name that cannot be mistaken."
                found.append(file_fault("file/schema", message, key.span, help=help_))
    return tuple(found)


@lru_cache(maxsize=1024)
def _meant(word: str) -> str | None:
    known = _part_properties()
    if word in known:
        return None
    for candidate in sorted(known):
        slips = 0 if len(candidate) < 4 else 1 if len(candidate) < 8 else 2
        if abs(len(candidate) - len(word)) <= slips and distance(folded(word), folded(candidate)) <= slips:
            return candidate
    return None

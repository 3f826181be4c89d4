"""All units of a library: merged, built, and matched with the procedures that are for them."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, replace

from proctool.model.document import Document, Kind, Mapping, Node, Scalar
from proctool.model.finding import Finding, file_fault
from proctool.model.nearest import did_you_mean
from proctool.model.procedure import Procedure
from proctool.model.unit import Unit
from proctool.resolve.inherit import LEFT_OUT, merged
from proctool.resolve.scope import Known
from proctool.resolve.unit import build_unit


@dataclass(frozen=True, slots=True)
class Units:
    """The units of a library."""

    whole: ReadOnly[str, Unit]
    """Units that could be built, by name."""
    families: ReadOnly[str, str | None]
    """Every unit that a file describes, whole or not, and its family."""
    known: Known
    findings: tuple[Finding, ...]

    def fitting(self, procedure: Procedure) -> tuple[tuple[str, ...], tuple[Finding, ...]]:
        """The units that a procedure is for, in the order it names them; unknown ones are noted."""
        wanted: dict[str, None] = {}
        findings = []
        for word in procedure.units:
            fitting = [u for u, family in sorted(self.families.items()) if word.text in {u, family}]
            if not fitting and self.known.every_family:
                known = {*self.families, *(f for f in self.families.values() if f)}
                message = f"`{word.text}` is no unit or family here.{did_you_mean(word.text, known)}"
                help_ = None if message.endswith("?") else LEFT_OUT
                fault = file_fault("graph/unknown-name", message, word.span, help=help_)
                findings.append(replace(fault, procedure=procedure.name))
            wanted |= dict.fromkeys(fitting)
        return tuple(wanted), tuple(findings)


def build_units(documents: Iterable[Document]) -> Units:
    """Every unit with its bases taken over; faults of a base shared by several units are told once."""
    documents = tuple(documents)
    bases = {d.name.text: d for d in documents if d.kind is Kind.BASE}
    whole: dict[str, Unit] = {}
    families: dict[str, str | None] = {}
    findings: list[Finding] = []
    every_family = True
    for document in documents:
        if document.kind is not Kind.UNIT:
            continue
        name = document.name.text
        families[name] = None
        root, unmerged = merged(document, bases)
        findings += unmerged
        if root is None:
            every_family = False
            continue
        family = root.get("family")
        families[name] = family.text if isinstance(family, Scalar) else None
        unit, faults = build_unit(document, root)
        findings += faults
        if unit is not None and not unmerged:
            whole[name] = unit
    known = replace(_known(documents, families), every_family=every_family)
    return Units(whole, families, known, tuple(dict.fromkeys(findings)))


def _known(documents: tuple[Document, ...], families: ReadOnly[str, str | None]) -> Known:
    parts: set[str] = set()
    properties: set[str] = set()
    facts: set[str] = set()
    for document in documents:
        if document.kind not in {Kind.UNIT, Kind.BASE}:
            continue
        for key, value in _map(document.root, "parts"):
            parts.add(key.text)
            if isinstance(value, Mapping):
                properties |= {name.text for name, _ in value}
        facts |= {key.text for key, _ in _map(document.root, "facts")}
    return Known(
        parts=frozenset(parts),
        properties=frozenset(properties),
        units=frozenset(families),
        families=frozenset(family for family in families.values() if family),
        facts=frozenset(facts),
    )


def _map(root: Mapping, key: str) -> tuple[tuple[Scalar, Node], ...]:
    value = root.get(key)
    return value.entries if isinstance(value, Mapping) else ()

"""Units on bases: energies, parts, lines and facts are taken over, `without` takes away.

Properties of an energy, part or line merge one by one; a list is replaced whole; `title` and `checked` are
never inherited. The order of parts is the base's, then the unit's own.
"""

from __future__ import annotations

from collections.abc import Container
from collections.abc import Mapping as ReadOnly

from proctool.model.document import Document, Kind, Mapping, Node, Scalar, Sequence
from proctool.model.finding import Finding, file_fault
from proctool.model.nearest import did_you_mean

LEFT_OUT = "A file with errors is left out: if it has one, mend that first."
"""What may be behind a name of a file that nothing is near to."""
DEPTH_LIMIT = 60
"""Bases that stand on each other."""
_TAKEN_OVER = ("energies", "parts", "lines", "facts")
_OWN = frozenset({"title", "checked", "based_on", "without", "base", "unit"})


def merged(document: Document, bases: ReadOnly[str, Document]) -> tuple[Mapping | None, tuple[Finding, ...]]:
    """A unit's whole map, bases included, or None with findings."""
    return _merge(document, bases, ())


def _merge(
    document: Document, bases: ReadOnly[str, Document], below: tuple[str, ...]
) -> tuple[Mapping | None, tuple[Finding, ...]]:
    root = document.root
    on = root.get("based_on")
    if not isinstance(on, Scalar):
        return _without(root, root)
    chain = (*below, document.name.text) if document.kind is Kind.BASE else below
    if on.text in chain:
        shown = " → ".join((*chain, on.text))
        return None, (
            file_fault("file/cycle", f"Bases need each other: {shown}. Cut one `based_on`.", on.span),
        )
    if len(chain) >= DEPTH_LIMIT:
        message = f"More than {DEPTH_LIMIT} bases stand on each other here."
        return None, (file_fault("file/limit", message, on.span, help="Join some of them."),)
    if on.text not in bases:
        hint = did_you_mean(on.text, bases)
        message = f"There is no base `{on.text}` in this library.{hint}"
        fault = file_fault("graph/unknown-name", message, on.span, help=None if hint else LEFT_OUT)
        return None, (fault,)
    under, findings = _merge(bases[on.text], bases, chain)
    if under is None:
        return None, findings
    entries = [(key, value) for key, value in under if key.text not in _OWN and key.text not in root]
    for key, value in root:
        lower = under.get(key.text)
        if key.text in _TAKEN_OVER and isinstance(value, Mapping) and isinstance(lower, Mapping):
            entries.append((key, _over(lower, value, deep=key.text != "facts")))
        else:
            entries.append((key, value))
    whole, removed = _without(Mapping(tuple(entries), root.span), root)
    return whole, (*findings, *removed)


def _over(lower: Mapping, upper: Mapping, *, deep: bool) -> Mapping:
    """The entries of `upper` laid over those of `lower`: order of `lower` first, then what is new."""
    entries: list[tuple[Scalar, Node]] = []
    for key, value in lower:
        new = upper.get(key.text)
        if new is None:
            entries.append((key, value))
        elif deep and isinstance(value, Mapping) and isinstance(new, Mapping):
            entries.append((upper.key(key.text) or key, _over(value, new, deep=False)))
        else:
            entries.append((upper.key(key.text) or key, new))
    entries += ((key, value) for key, value in upper if key.text not in lower)
    return Mapping(tuple(entries), upper.span)


def _without(whole: Mapping, root: Mapping) -> tuple[Mapping | None, tuple[Finding, ...]]:
    """Take away the parts and lines that this model lacks."""
    lacking = root.get("without")
    if not isinstance(lacking, Sequence):
        return whole, ()
    names = {item.text: item for item in lacking.items if isinstance(item, Scalar)}
    known = {
        key.text
        for group in ("parts", "lines")
        if isinstance(value := whole.get(group), Mapping)
        for key, _ in value
    }
    findings = tuple(
        file_fault(
            "graph/unknown-name",
            f"`without` names `{name}`, which is no part or line of the base.{did_you_mean(name, known)}",
            item.span,
        )
        for name, item in names.items()
        if name not in known
    )
    entries = tuple(
        (key, _less(value, names) if key.text in {"parts", "lines"} else value) for key, value in whole
    )
    return Mapping(entries, whole.span), findings


def _less(value: Node, names: Container[str]) -> Node:
    """A map without the entries of some names."""
    if not isinstance(value, Mapping):
        return value
    return Mapping(tuple(entry for entry in value.entries if entry[0].text not in names), value.span)

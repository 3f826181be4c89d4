"""From nodes to records: one function per kind of file. The schemas have checked the shapes already.

Units and bases stay nodes until they are merged, which is done in resolving.
"""

from __future__ import annotations

from proctool.model.document import Document, Mapping, Node, Scalar, Sequence
from proctool.model.plan import Revision
from proctool.model.procedure import (
    Block,
    Deviation,
    Entry,
    EntryKind,
    Inspection,
    LibraryFile,
    Locks,
    Procedure,
    Profile,
    Thing,
    WrittenAct,
    WrittenOtherwise,
    WrittenRule,
)
from proctool.model.words import ACT_WORDS
from proctool.source.nodes import (
    entries_at,
    items_of,
    mapping_at,
    scalar_at,
    scalars_in,
    text_at,
    true_at,
)

_KINDS = tuple(k for k in EntryKind if k not in {EntryKind.GROUP, EntryKind.ACTS})


def library(document: Document) -> LibraryFile:
    """The record of `library.yaml`."""
    root = document.root
    tools, supplies = _things(root, "tools"), _things(root, "supplies")
    return LibraryFile(
        name=document.name.text,
        span=document.name.span,
        language=text_at(root, "language") or "en",
        shows={k.text: tuple(s.text for s in scalars_in(v)) for k, v in entries_at(root, "shows")},
        people=_names(root, "people"),
        ppe=_names(root, "ppe"),
        tools={thing.key.text: thing.label for thing in tools},
        supplies={thing.key.text: thing.label for thing in supplies},
        things=(*tools, *supplies),
        conditions=_conditions(root),
        dangers=mapping_at(root, "dangers"),
        sentences=mapping_at(root, "sentences"),
        profile=scalar_at(root, "profile"),
        levels=tuple((k, v) for k, v in entries_at(root, "levels") if isinstance(v, Scalar)),
        house_rules=_rules(root.get("house_rules"), "id"),
        words={k.text: tuple(s.text for s in scalars_in(v)) for k, v in entries_at(root, "words")},
        second_signature=text_at(root, "second_signature") or "",
    )


def profile(document: Document) -> Profile:
    """The record of a profile."""
    root = document.root
    return Profile(
        name=document.name,
        based_on=scalar_at(root, "based_on"),
        levels=tuple((k, v) for k, v in entries_at(root, "levels") if isinstance(v, Scalar)),
        order=tuple(scalars_in(phase) for phase in items_of(root.get("order_of_control"))),
        sequences=_rules(root.get("sequences"), "rule"),
    )


def block(document: Document) -> Block:
    """The record of a block."""
    root = document.root
    return Block(
        name=document.name.text,
        title=text_at(root, "title") or "",
        takes=scalars_in(root.get("takes")),
        entries=_entries(root.get("steps")),
        span=document.name.span,
    )


def procedure(document: Document) -> Procedure:
    """The record of a procedure."""
    root = document.root
    return Procedure(
        name=document.name.text,
        title=text_at(root, "title") or document.name.text,
        span=document.name.span,
        units=scalars_in(root.get("units")),
        entries=_entries(root.get("steps")),
        opens=scalars_in(root.get("opens")),
        conditions=_conditions(root),
        dangers=mapping_at(root, "dangers"),
        starts=mapping_at(root, "starts"),
        leaves=mapping_at(root, "leaves"),
        time=scalar_at(root, "time"),
        people=scalars_in(root.get("people")),
        locks=_locks(root.get("locks")),
        due=_due(root.get("due")),
        revisions=_revisions(root.get("revisions")),
        number=text_at(root, "number") or "",
        inspections=_inspections(root.get("inspections")),
        deviations=_deviations(root.get("deviations")),
        tables=tuple((k, v) for k, v in entries_at(root, "tables") if isinstance(v, Mapping)),
    )


def _entries(node: Node | None) -> tuple[Entry, ...]:
    items = node.items if isinstance(node, Sequence) else ()
    return tuple(_entry(item) for item in items if isinstance(item, Mapping))


def _entry(node: Mapping) -> Entry:
    unsaid = EntryKind.GROUP if "steps" in node else EntryKind.ACTS
    kind: EntryKind = next((k for k in _KINDS if k.value in node), unsaid)
    value = node.get(kind.value)
    read = value if isinstance(value, Mapping) else None
    return Entry(
        kind=kind,
        span=node.entries[0][0].span,
        text=_entry_text(kind, value),
        id=scalar_at(node, "id"),
        title=scalar_at(node, "title"),
        after=None if node.get("after") is None else scalars_in(node.get("after")),
        when=mapping_at(node, "when"),
        acts=_acts(node),
        needs=mapping_at(node, "needs"),
        makes=mapping_at(node, "makes"),
        warn=scalars_in(node.get("warn")),
        notes=scalars_in(node.get("note")),
        using=scalars_in(node.get("using")),
        figure=mapping_at(node, "figure"),
        hold=scalar_at(node, "hold"),
        once=true_at(node, "once"),
        otherwise=_otherwise(node.get("otherwise")),
        lasts=value if kind is EntryKind.WAIT and isinstance(value, Scalar) else scalar_at(node, "for"),
        until=mapping_at(node, "until"),
        gauge=_gauge(kind, value),
        within=(scalar_at(read, "within") if read is not None else None) or scalar_at(node, "within"),
        block=value if kind is EntryKind.USE and isinstance(value, Scalar) else None,
        given=mapping_at(node, "with"),
        sets=tuple(value.entries) if kind is EntryKind.EACH and isinstance(value, Mapping) else (),
        only=mapping_at(node, "only"),
        any_order=text_at(node, "order") == "any",
        reversed=true_at(node, "reversed"),
        also_off=scalars_in(node.get("also_off")),
        entries=_entries(value if kind is EntryKind.ANY_ORDER else node.get("steps")),
    )


def _entry_text(kind: EntryKind, value: Node | None) -> Scalar | None:
    if kind in {EntryKind.DO, EntryKind.CHECK} and isinstance(value, Scalar):
        return value
    if kind is EntryKind.READ and isinstance(value, Mapping):
        return scalar_at(value, "what")
    return None


def _gauge(kind: EntryKind, value: Node | None) -> Scalar | None:
    if kind is not EntryKind.READ:
        return None
    return (
        value
        if isinstance(value, Scalar)
        else scalar_at(value, "gauge")
        if isinstance(value, Mapping)
        else None
    )


def _acts(node: Mapping) -> tuple[WrittenAct, ...]:
    """Act keys in the order written, or the items of `acts`."""
    found = [WrittenAct(key, value) for key, value in node.entries if key.text in ACT_WORDS]
    for item in items_of(node.get("acts")):
        if isinstance(item, Mapping):
            found += (WrittenAct(key, value) for key, value in item.entries)
    return tuple(found)


def _otherwise(node: Node | None) -> WrittenOtherwise | None:
    if not isinstance(node, Mapping):
        return None
    at_most = text_at(node, "at_most")
    return WrittenOtherwise(
        span=node.entries[0][0].span if node.entries else node.span,
        entries=_entries(node.get("steps")),
        back_to=scalar_at(node, "back_to"),
        end_here=scalar_at(node, "end_here"),
        at_most=int(at_most) if at_most and at_most.isdigit() else None,
        then=_otherwise(node.get("then")),
    )


def _due(node: Node | None) -> tuple[str, ...]:
    """When the work is due, in words; tables are shown by name."""
    said = []
    for item in items_of(node):
        if isinstance(item, Scalar):
            said.append(item.text)
        elif isinstance(item, Mapping):
            said += (f"{key.text} {value.text}" for key, value in item if isinstance(value, Scalar))
    return tuple(said)


def _revisions(node: Node | None) -> tuple[Revision, ...]:
    return tuple(
        Revision(*(text_at(item, key) or "" for key in ("number", "date", "by", "why")))
        for item in items_of(node)
        if isinstance(item, Mapping)
    )


def _deviations(node: Node | None) -> tuple[Deviation, ...]:
    found = []
    for item in items_of(node):
        if isinstance(item, Mapping) and (rule := scalar_at(item, "rule")) is not None:
            why, instead, by, until = (text_at(item, key) or "" for key in ("why", "instead", "by", "until"))
            place = text_at(item, "step"), text_at(item, "part")
            found.append(Deviation(rule, *place, why, instead, by, until))
    return tuple(found)


def _rules(node: Node | None, name: str) -> tuple[WrittenRule, ...]:
    """Rules over runs, each named by its key `name`."""
    return tuple(
        WrittenRule(
            name=named,
            say=text_at(item, "say") or "",
            matchers=tuple((key, value) for key, value in item if isinstance(value, Mapping)),
            between=tuple(m for m in items_of(item.get("between")) if isinstance(m, Mapping)),
            lockout=text_at(item, "lockout") == "required",
        )
        for item in items_of(node)
        if isinstance(item, Mapping) and (named := scalar_at(item, name)) is not None
    )


def _conditions(root: Mapping) -> tuple[tuple[Scalar, tuple[str, ...]], ...]:
    return tuple(
        (key, tuple(s.text for s in scalars_in(value))) for key, value in entries_at(root, "conditions")
    )


def _names(root: Mapping, key: str) -> dict[str, str]:
    """Names of people and protective equipment, as a text."""
    return {name.text: value.text for name, value in entries_at(root, key) if isinstance(value, Scalar)}


def _things(root: Mapping, key: str) -> tuple[Thing, ...]:
    """Tools or supplies: each a text, or a map with `name`."""
    found = []
    for name, value in entries_at(root, key):
        if isinstance(value, Scalar):
            found.append(Thing(name, value.text))
        elif isinstance(value, Mapping):
            thing = Thing(
                key=name,
                name=text_at(value, "name") or name.text,
                part_number=text_at(value, "part_number") or "",
                approval=text_at(value, "approval") or "",
                touches=text_at(value, "touches") or "",
                disposal=text_at(value, "disposal") or "",
                gives_off=tuple((k, v) for k, v in entries_at(value, "gives_off") if isinstance(v, Scalar)),
            )
            found.append(thing)
    return tuple(found)


def _locks(node: Node | None) -> Locks | None:
    if isinstance(node, Mapping):
        return Locks(node.span, scalar_at(node, "group"))
    return Locks(node.span) if node is not None else None


def _inspections(node: Node | None) -> tuple[Inspection, ...]:
    return tuple(
        Inspection(
            item.entries[0][0].span if item.entries else item.span,
            text_at(item, "date") or "",
            text_at(item, "by") or "",
            tuple(name.text for name in scalars_in(item.get("of"))),
            text_at(item, "unit") or "",
        )
        for item in items_of(node)
        if isinstance(item, Mapping)
    )

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
    LibraryFile,
    Procedure,
    Profile,
    WrittenAct,
    WrittenOtherwise,
    WrittenRule,
)
from proctool.model.words import ACT_WORDS

_KINDS = tuple(k for k in EntryKind if k not in {EntryKind.GROUP, EntryKind.ACTS})


def library(document: Document) -> LibraryFile:
    """The record of `library.yaml`."""
    root = document.root
    return LibraryFile(
        name=document.name.text,
        span=document.name.span,
        language=_text(root, "language") or "en",
        shows={k.text: tuple(s.text for s in _scalars(v)) for k, v in _map(root, "shows")},
        people=_names(root, "people"),
        ppe=_names(root, "ppe"),
        tools=_names(root, "tools"),
        supplies=_names(root, "supplies"),
        conditions=_conditions(root),
        dangers=_mapping(root, "dangers"),
        sentences=_mapping(root, "sentences"),
        profile=_scalar(root, "profile"),
        levels=tuple((k, v) for k, v in _map(root, "levels") if isinstance(v, Scalar)),
        house_rules=_rules(root.get("house_rules"), "id"),
        second_signature=_text(root, "second_signature") or "",
    )


def profile(document: Document) -> Profile:
    """The record of a profile."""
    root = document.root
    return Profile(
        name=document.name,
        based_on=_scalar(root, "based_on"),
        levels=tuple((k, v) for k, v in _map(root, "levels") if isinstance(v, Scalar)),
        order=tuple(_scalars(phase) for phase in _items(root.get("order_of_control"))),
        sequences=_rules(root.get("sequences"), "rule"),
    )


def block(document: Document) -> Block:
    """The record of a block."""
    root = document.root
    return Block(
        name=document.name.text,
        title=_text(root, "title") or "",
        takes=_scalars(root.get("takes")),
        entries=_entries(root.get("steps")),
        span=document.name.span,
    )


def procedure(document: Document) -> Procedure:
    """The record of a procedure."""
    root = document.root
    return Procedure(
        name=document.name.text,
        title=_text(root, "title") or document.name.text,
        span=document.name.span,
        units=_scalars(root.get("units")),
        entries=_entries(root.get("steps")),
        opens=_scalars(root.get("opens")),
        conditions=_conditions(root),
        dangers=_mapping(root, "dangers"),
        starts=_mapping(root, "starts"),
        leaves=_mapping(root, "leaves"),
        time=_text(root, "time") or "",
        people=_scalars(root.get("people")),
        due=_due(root.get("due")),
        revisions=_revisions(root.get("revisions")),
        number=_text(root, "number") or "",
        deviations=_deviations(root.get("deviations")),
        tables=tuple((k, v) for k, v in _map(root, "tables") if isinstance(v, Mapping)),
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
        id=_scalar(node, "id"),
        title=_scalar(node, "title"),
        after=None if node.get("after") is None else _scalars(node.get("after")),
        when=_mapping(node, "when"),
        acts=_acts(node),
        needs=_mapping(node, "needs"),
        makes=_mapping(node, "makes"),
        warn=_scalars(node.get("warn")),
        notes=_scalars(node.get("note")),
        using=_scalars(node.get("using")),
        figure=_mapping(node, "figure"),
        hold=_scalar(node, "hold"),
        once=_true(node, "once"),
        otherwise=_otherwise(node.get("otherwise")),
        lasts=value if kind is EntryKind.WAIT and isinstance(value, Scalar) else _scalar(node, "for"),
        until=_mapping(node, "until"),
        gauge=_gauge(kind, value),
        within=(_scalar(read, "within") if read is not None else None) or _scalar(node, "within"),
        block=value if kind is EntryKind.USE and isinstance(value, Scalar) else None,
        given=_mapping(node, "with"),
        sets=tuple(value.entries) if kind is EntryKind.EACH and isinstance(value, Mapping) else (),
        only=_mapping(node, "only"),
        any_order=_text(node, "order") == "any",
        reversed=_true(node, "reversed"),
        also_off=_scalars(node.get("also_off")),
        entries=_entries(value if kind is EntryKind.ANY_ORDER else node.get("steps")),
    )


def _entry_text(kind: EntryKind, value: Node | None) -> Scalar | None:
    if kind in {EntryKind.DO, EntryKind.CHECK} and isinstance(value, Scalar):
        return value
    if kind is EntryKind.READ and isinstance(value, Mapping):
        return _scalar(value, "what")
    return None


def _gauge(kind: EntryKind, value: Node | None) -> Scalar | None:
    if kind is not EntryKind.READ:
        return None
    return (
        value
        if isinstance(value, Scalar)
        else _scalar(value, "gauge")
        if isinstance(value, Mapping)
        else None
    )


def _acts(node: Mapping) -> tuple[WrittenAct, ...]:
    """Act keys in the order written, or the items of `acts`."""
    found = [WrittenAct(key, value) for key, value in node.entries if key.text in ACT_WORDS]
    for item in _items(node.get("acts")):
        if isinstance(item, Mapping):
            found += (WrittenAct(key, value) for key, value in item.entries)
    return tuple(found)


def _otherwise(node: Node | None) -> WrittenOtherwise | None:
    if not isinstance(node, Mapping):
        return None
    at_most = _text(node, "at_most")
    return WrittenOtherwise(
        span=node.entries[0][0].span if node.entries else node.span,
        entries=_entries(node.get("steps")),
        back_to=_scalar(node, "back_to"),
        end_here=_scalar(node, "end_here"),
        at_most=int(at_most) if at_most and at_most.isdigit() else None,
        then=_otherwise(node.get("then")),
    )


def _due(node: Node | None) -> tuple[str, ...]:
    """When the work is due, in words; tables are shown by name."""
    said = []
    for item in _items(node):
        if isinstance(item, Scalar):
            said.append(item.text)
        elif isinstance(item, Mapping):
            said += (f"{key.text} {value.text}" for key, value in item if isinstance(value, Scalar))
    return tuple(said)


def _revisions(node: Node | None) -> tuple[Revision, ...]:
    return tuple(
        Revision(*(_text(item, key) or "" for key in ("number", "date", "by", "why")))
        for item in _items(node)
        if isinstance(item, Mapping)
    )


def _deviations(node: Node | None) -> tuple[Deviation, ...]:
    found = []
    for item in _items(node):
        if isinstance(item, Mapping) and (rule := _scalar(item, "rule")) is not None:
            why, instead, by, until = (_text(item, key) or "" for key in ("why", "instead", "by", "until"))
            place = _text(item, "step"), _text(item, "part")
            found.append(Deviation(rule, *place, why, instead, by, until))
    return tuple(found)


def _rules(node: Node | None, name: str) -> tuple[WrittenRule, ...]:
    """Rules over runs, each named by its key `name`."""
    return tuple(
        WrittenRule(
            name=named,
            say=_text(item, "say") or "",
            matchers=tuple((key, value) for key, value in item if isinstance(value, Mapping)),
            between=tuple(m for m in _items(item.get("between")) if isinstance(m, Mapping)),
            lockout=_text(item, "lockout") == "required",
        )
        for item in _items(node)
        if isinstance(item, Mapping) and (named := _scalar(item, name)) is not None
    )


def _conditions(root: Mapping) -> tuple[tuple[Scalar, tuple[str, ...]], ...]:
    return tuple((key, tuple(s.text for s in _scalars(value))) for key, value in _map(root, "conditions"))


def _names(root: Mapping, key: str) -> dict[str, str]:
    """Names of tools, supplies, people: a text, or a map with `name`."""
    found = {}
    for name, value in _map(root, key):
        if isinstance(value, Scalar):
            found[name.text] = value.text
        elif isinstance(value, Mapping):
            number = _text(value, "part_number")
            found[name.text] = (_text(value, "name") or name.text) + (f" {number}" if number else "")
    return found


def _items(node: Node | None) -> tuple[Node, ...]:
    """The items of a list; one thing alone is a list of one."""
    if node is None:
        return ()
    return node.items if isinstance(node, Sequence) else (node,)


def _scalars(node: Node | None) -> tuple[Scalar, ...]:
    return tuple(item for item in _items(node) if isinstance(item, Scalar))


def _scalar(node: Mapping, key: str) -> Scalar | None:
    value = node.get(key)
    return value if isinstance(value, Scalar) else None


def _text(node: Mapping, key: str) -> str | None:
    value = _scalar(node, key)
    return value.text if value is not None else None


def _true(node: Mapping, key: str) -> bool:
    return (_text(node, key) or "").lower() == "true"


def _mapping(node: Mapping, key: str) -> Mapping | None:
    value = node.get(key)
    return value if isinstance(value, Mapping) else None


def _map(node: Mapping, key: str) -> tuple[tuple[Scalar, Node], ...]:
    value = _mapping(node, key)
    return value.entries if value is not None else ()

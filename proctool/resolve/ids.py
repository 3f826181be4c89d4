"""Ids of entries that have none written: never a number, so that they stay when steps are added."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable

from proctool.model.document import Mapping
from proctool.model.finding import Related
from proctool.model.procedure import Entry, EntryKind, WrittenAct
from proctool.model.span import Span
from proctool.resolve.scope import Job, names_in

_NOT_ID = re.compile(r"[^a-z0-9_-]+")
_NOT_NAME = re.compile(r"[^A-Za-z0-9_-]+")
_NAMED = re.compile(r"\\?<([^<>]*)>")


class Paths:
    """The path ids of one plan, each with where it stands."""

    def __init__(self) -> None:
        self._places: dict[str, Span] = {}
        self._doubled: set[str] = set()

    def add(self, job: Job, path: tuple[str, ...], name: str, entry: Entry) -> tuple[str, ...]:
        """The path of an entry. Two that are the same are told once, not again for all that is inside."""
        full = (*path, name)
        joined = "/".join(full)
        where = entry.id.span if entry.id is not None else entry.span
        if "/".join(path) in self._doubled:
            self._doubled.add(joined)
        elif joined in self._places:
            self._doubled.add(joined)
            message = f"Two entries have the id `{joined}`. Give one of them an `id` of its own."
            first = Related(self._places[joined], "the first one")
            job.fault("graph/duplicate-id", message, where, related=(first,))
        self._places.setdefault(joined, where)
        return full


def entry_id(entry: Entry, is_part: Callable[[str], bool]) -> str:
    """The id of an entry; empty for an `each` or `any_order` without one: its entries join the list around.

    From a text: its first word, and the part if the step acts on one. Without a text: `act-part`, parts
    joined by `-`. Names are taken as written, before they are looked up.
    """
    if entry.id is not None:
        return entry.id.text
    if entry.kind in {EntryKind.EACH, EntryKind.ANY_ORDER}:
        return ""
    if entry.kind is EntryKind.USE:
        return entry.block.text if entry.block is not None else ""
    if entry.kind is EntryKind.GROUP:
        return _first_word(entry.title.text) if entry.title is not None else ""
    if entry.text is not None:
        first = _first_word(entry.text.text) or entry.kind.value
        parts = {name for act in entry.acts for name in _names(act) if is_part(name)}
        return f"{first}-{_as_id(parts.pop())}" if len(parts) == 1 else first
    if entry.acts:
        said = (entry.acts[0].verb.text, *map(_as_id, _names(entry.acts[0])))
        return "-".join(word for word in said if word)
    if entry.gauge is not None:
        return f"{entry.kind.value}-{_as_id(entry.gauge.text)}"
    return entry.kind.value


def _names(act: WrittenAct) -> list[str]:
    """The names of what an act is done to, as written."""
    value = act.value.get("part") if isinstance(act.value, Mapping) else act.value
    return [name.text for name in names_in(value)]


def _as_id(name: str) -> str:
    return _NOT_NAME.sub("-", name).strip("-")


def _first_word(text: str) -> str:
    words = _NAMED.sub(r"\1", text).split()
    plain = unicodedata.normalize("NFKD", words[0]).encode("ascii", "ignore").decode() if words else ""
    return _NOT_ID.sub("", plain.lower()).strip("-_")

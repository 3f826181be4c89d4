"""A draft as a whole file: its head, what a person has yet to say, and its steps."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.draft.writing.emit import comment, entries, scalar
from proctool.draft.writing.written import Entry

_OPEN = (
    ("number", "the number of the document"),
    ("time", "how long the work takes, such as 30 min"),
    ("due", "when it is due: a table, an interval, a sign that one can see, or `on failure`"),
    ("revisions", "who issued it, and when"),
)
"""What only a person can say of a procedure."""


@dataclass(frozen=True, slots=True)
class Head:
    """What stands before the steps."""

    name: str
    title: str
    unit: str
    people: tuple[str, ...]
    opens: tuple[str, ...]
    notes: tuple[str, ...]
    """Lines of comment: how the parts are isolated, who is without supply meanwhile, other ways."""


def sheet(head: Head, steps: Sequence[Entry]) -> str:
    """The text of the file."""
    asked = [*([] if head.people else [("people", "who does it: names of the library's people")]), *_OPEN]
    lines = [
        f"procedure: {scalar(head.name)}",
        f"title: {scalar(head.title)}",
        f"units: [{scalar(head.unit, inline=True)}]",
        *([f"people: {_listed(head.people)}"] if head.people else []),
        f"opens: {_listed(head.opens)}",
        "",
        *comment(("Only a person can say these; each is a key of its own here:",), ""),
        *comment([f"{key}: {what}" for key, what in asked], ""),
        "",
        *comment(head.notes, ""),
        "steps:",
        *entries(steps, "  "),
    ]
    return "\n".join(lines) + "\n"


def _listed(words: Iterable[str]) -> str:
    return f"[{', '.join(scalar(word, inline=True) for word in words)}]"


def people_of(asked: Iterable[tuple[str, ...]], library: ReadOnly[str, str]) -> tuple[str, ...]:
    """Who does the work: those that the first procedure for the unit names, else the library's only ones."""
    return next((names for names in asked if names), tuple(library) if len(library) == 1 else ())

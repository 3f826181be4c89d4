"""The first page of what was built: every manual by procedure and unit, with its verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from proctool.render.html import document


@dataclass(frozen=True, slots=True)
class Manuals:
    """The manuals of one procedure on one unit."""

    procedure: str
    title: str
    unit: str
    unit_title: str
    verdict: str
    draft: bool
    files: tuple[tuple[str, str], ...]
    """Format and address of each file."""


def contents(library: str, language: str, entries: Sequence[Manuals]) -> str:
    """One HTML page that links to every manual; its addresses are relative, so it works from any folder."""
    ordered = sorted(entries, key=lambda e: (e.title, e.procedure, e.unit))
    groups = [
        (title, tuple(group)) for (title, _), group in groupby(ordered, key=lambda e: (e.title, e.procedure))
    ]
    return document(
        "contents.html.j2",
        "screen",
        library=library,
        language=language,
        groups=groups,
        drafts=any(e.draft for e in entries),
    )

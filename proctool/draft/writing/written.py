"""Steps of a draft before they are text: what `emit` writes down."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class Deed:
    """One plain act to be written."""

    verb: str
    part: str = ""
    """A part's id; whom `tell` tells."""
    by: str = ""
    """The gauge or vent that shows zero."""


@dataclass(frozen=True, slots=True)
class Fallback:
    """An `otherwise` or `then` to be written: steps, then one ending."""

    steps: tuple[Entry, ...] = ()
    end_here: str = ""
    back_to: str = ""
    at_most: int = 0
    then: Fallback | None = None
    """With neither `end_here` nor `back_to` work goes on."""


@dataclass(frozen=True, slots=True)
class Task:
    """One step to be written."""

    deeds: tuple[Deed, ...] = ()
    text: str = ""
    """Empty where the library's own sentence says it."""
    check: bool = False
    """Whether the text is that of a `check`."""
    id: str = ""
    wait: str = ""
    """How long, where the step is a `wait`."""
    until: tuple[str, str] | None = None
    """The gauge that ends a wait, and what it reads then."""
    lasts: str = ""
    """`for` of a check."""
    makes: tuple[tuple[str, str], ...] = ()
    using: tuple[str, ...] = ()
    otherwise: Fallback | None = None
    why: tuple[str, ...] = ()
    """Why it is there: lines of comment above it."""


@dataclass(frozen=True, slots=True)
class Group:
    """A group of steps, or the use of a block of the library."""

    id: str
    title: str = ""
    steps: tuple[Entry, ...] = ()
    use: str = ""
    """The block that stands here instead of steps."""
    otherwise: Fallback | None = None
    why: tuple[str, ...] = field(default=())


Entry: TypeAlias = Task | Group


def tasks(entries: tuple[Entry, ...]) -> Iterator[Task]:
    """The main steps of some entries, in order."""
    for entry in entries:
        if isinstance(entry, Group):
            yield from tasks(entry.steps)
        else:
            yield entry

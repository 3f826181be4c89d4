"""How a finding comes about, told step by step, and what would mend it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Change:
    """What a step changed of a part: how it stands, or what it holds of an energy."""

    part: str
    now: str
    """How it stands after the step: `closed`, `locked`, `live`, `zero verified`."""
    was: str = ""
    """The charge before the step; empty for all but charges."""
    energy: str | None = None


@dataclass(frozen=True, slots=True)
class Route:
    """The way by which an energy arrives at a part, or would, if what nothing secures were turned on."""

    energy: str
    parts: tuple[str, ...]
    """From a source, or from where it is trapped, to the part; the part alone if it is trapped in itself."""
    told: str
    """The same in the names that people read."""


@dataclass(frozen=True, slots=True)
class Event:
    """What one step of a trace changed, and by which ways what rose came."""

    changes: tuple[Change, ...] = ()
    routes: tuple[Route, ...] = ()
    told: tuple[str, ...] = ()
    """The changes in the names that people read, those alike together."""


@dataclass(frozen=True, slots=True)
class Fix:
    """One plain act of a mend; `by` is the gauge or vent that shows zero."""

    verb: str
    part: str
    by: str | None = None


@dataclass(frozen=True, slots=True)
class Mend:
    """What would mend a finding at the moment its rule breaks, in words.

    `acts` were tried in that very state: done right before what breaks the rule, it no longer breaks there.
    Where nothing the unit has would mend it, there are none, and `text` says what is not to be had.
    """

    text: str
    acts: tuple[Fix, ...] = ()


@dataclass(frozen=True, slots=True)
class Story:
    """A trace told: one event for each of its steps."""

    events: tuple[Event, ...]
    routes: tuple[Route, ...] = ()
    """The ways of the energies concerned at the moment the rule breaks."""
    mend: Mend | None = None

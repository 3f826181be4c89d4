"""What the lockout card shows besides what the manual shows."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LockPoint:
    """One isolator that is switched off for the job."""

    number: str
    """Place among the lock points; empty where no lock goes on."""
    isolator: str
    place: str
    off: str
    """How it stands for the job."""
    lock: str
    cuts: str
    """The energies on its lines, with their sizes."""


@dataclass(frozen=True, slots=True)
class Zero:
    """How one energy is let out, and what shows that none is left."""

    energy: str
    size: str
    relieved: str
    verified: str
    zero: str


@dataclass(frozen=True, slots=True)
class Card:
    """What the lockout card says besides what the manual says."""

    count: str
    """How many locks, and on how many points."""
    points: tuple[LockPoint, ...]
    zeros: tuple[Zero, ...]
    lost: tuple[str, ...]
    """What else loses its supply; empty where nothing does."""
    told: tuple[str, ...]
    """Who is told of it, and at which step; empty where no step tells anybody."""
    people: int
    """Lines for names, lock numbers and times."""

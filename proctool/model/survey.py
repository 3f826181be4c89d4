"""What the devices of a unit do to its energies, and where none of them reaches."""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.model.unit import Unit


@dataclass(frozen=True, slots=True)
class Reach:
    """What one device does to one energy, all others in their normal state but those it is used with."""

    device: str
    energy: str
    parts: tuple[str, ...]
    """An isolator: who loses the energy when it alone is off; one that is off in normal service: who gets the
    energy when it is on. A vent or a gauge: what it surely relieves or shows once that part is isolated."""


@dataclass(frozen=True, slots=True)
class Blind:
    """Parts that cannot be opened safely, and what the unit lacks for that."""

    parts: tuple[str, ...]
    lacks: tuple[str, ...]
    """Sentences."""


@dataclass(frozen=True, slots=True)
class Survey:
    """A unit looked over. Parts are ids in file order."""

    unit: Unit
    isolators: tuple[Reach, ...]
    needed: ReadOnly[str, tuple[str, ...]]
    """For each isolator the holders that are least isolated with it among others."""
    vents: tuple[Reach, ...]
    gauges: tuple[Reach, ...]
    blind: tuple[Blind, ...]
    by_vent_only: tuple[tuple[str, str], ...]
    """Parts and fluids that no gauge shows once they are isolated, but an open vent does."""

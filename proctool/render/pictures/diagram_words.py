"""An energy diagram in words: each part, what it is, its energies, its neighbours, how it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from proctool.model.unit import Part, Unit
from proctool.model.words import Role
from proctool.render.pictures.overlay import Overlay
from proctool.render.words import capital, listed, spaced

_KINDS = {
    Role.SOURCE: "source",
    Role.ISOLATOR: "isolator",
    Role.CHECK_VALVE: "check valve",
    Role.RESTRICTION: "restriction, may block",
    Role.COMPONENT: "holds energy",
    Role.STORE: "keeps energy of its own",
    Role.VENT: "way out",
    Role.GAUGE: "gauge",
}


def told(overlay: Overlay | None, *, lettered: bool) -> str:
    """How a diagram is read."""
    said = (
        "Energy runs from left to right; danger runs both ways. Gauges hang above a part, ways out below it."
    )
    if lettered:
        said += " A line that ends at a letter goes on at the same letter elsewhere."
    if overlay:
        said += " A full disc is live, a half one trapped, an empty one zero, a question mark may be live."
    return said


def entries(unit: Unit, energies: Mapping[str, tuple[str, ...]], overlay: Overlay | None) -> tuple[str, ...]:
    """One line for each part of a unit."""
    return tuple(_entry(unit, part, energies[part.id], overlay) for part in unit.parts.values())


def _entry(unit: Unit, part: Part, energies: tuple[str, ...], overlay: Overlay | None) -> str:
    said = [_kind(part), listed(_energy(unit, part, energy, overlay) for energy in energies)]
    beside = tuple(_beside(unit, part))
    if part.role is Role.GAUGE:
        at = unit.parts.get(part.at or "")
        said.append(f"reads at the {at.label}" if at else "carried to the unit")
    if beside:
        said.append(f"next to {listed(unit.parts[name].label for name in beside)}")
    said.append(listed(spaced(word) for word in overlay.words.get(part.id, ())) if overlay else "")
    return f"{capital(part.label)}: {'; '.join(text for text in said if text)}."


def _kind(part: Part) -> str:
    if part.role is Role.OUTLET:
        return "leaves the unit, can feed back" if part.feeds_back else "leaves the unit"
    kind = _KINDS[part.role]
    return f"{kind} ({part.device.value})" if part.device else kind


def _energy(unit: Unit, part: Part, energy: str, overlay: Overlay | None) -> str:
    state = overlay.states.get((part.id, energy)) if overlay else None
    name = unit.energies[energy].name
    return f"{name} {state.value}" if state else name


def _beside(unit: Unit, part: Part) -> Iterator[str]:
    """The parts next to one on any line, each once."""
    pairs = (pair for line in unit.lines.values() for pair in zip(line.path, line.path[1:], strict=False))
    yield from dict.fromkeys(b if a == part.id else a for a, b in pairs if part.id in {a, b} and a != b)

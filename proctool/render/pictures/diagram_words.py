"""An energy diagram in words: each part, what it is, its energies, its neighbours, how it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from proctool.model.unit import Part, Unit
from proctool.model.words import Role
from proctool.render.pictures.overlay import NAMES, Overlay
from proctool.render.speech import fixed, say
from proctool.render.words import capital, clauses, listed, term

_KINDS = {
    Role.SOURCE: fixed("source"),
    Role.ISOLATOR: fixed("isolator"),
    Role.CHECK_VALVE: fixed("check valve"),
    Role.RESTRICTION: fixed("restriction, may block"),
    Role.COMPONENT: fixed("holds energy"),
    Role.STORE: fixed("keeps energy of its own"),
    Role.VENT: fixed("way out"),
    Role.GAUGE: fixed("gauge"),
}


def told(overlay: Overlay | None, *, lettered: bool) -> str:
    """How a diagram is read."""
    said = [
        say(
            "Energy runs from left to right; danger runs both ways. "
            "Gauges hang above a part, ways out below it."
        )
    ]
    if lettered:
        said.append(say("A line that ends at a letter goes on at the same letter elsewhere."))
    if overlay:
        said.append(
            say("A full disc is live, a half one trapped, an empty one zero, a question mark may be live.")
        )
    return " ".join(said)


def entries(unit: Unit, energies: Mapping[str, tuple[str, ...]], overlay: Overlay | None) -> tuple[str, ...]:
    """One line for each part of a unit."""
    return tuple(_entry(unit, part, energies[part.id], overlay) for part in unit.parts.values())


def _entry(unit: Unit, part: Part, energies: tuple[str, ...], overlay: Overlay | None) -> str:
    said = [_kind(part), listed(_energy(unit, part, energy, overlay) for energy in energies)]
    beside = tuple(_beside(unit, part))
    if part.role is Role.GAUGE:
        at = unit.parts.get(part.at or "")
        said.append(say("reads at the {part}", part=at.label) if at else say("carried to the unit"))
    if beside:
        said.append(say("next to {parts}", parts=listed(unit.parts[name].label for name in beside)))
    said.append(listed(map(term, overlay.words.get(part.id, ()))) if overlay else "")
    told = clauses(text for text in said if text)
    return say("{part}: {told}.", part=capital(part.label), told=told)


def _kind(part: Part) -> str:
    if part.role is Role.OUTLET:
        return say("leaves the unit, can feed back") if part.feeds_back else say("leaves the unit")
    kind = say(_KINDS[part.role])
    return say("{kind} ({device})", kind=kind, device=term(part.device)) if part.device else kind


def _energy(unit: Unit, part: Part, energy: str, overlay: Overlay | None) -> str:
    state = overlay.states.get((part.id, energy)) if overlay else None
    name = unit.energies[energy].name
    return say("{energy} {state}", energy=name, state=say(NAMES[state])) if state else name


def _beside(unit: Unit, part: Part) -> Iterator[str]:
    """The parts next to one on any line, each once."""
    pairs = (pair for line in unit.lines.values() for pair in zip(line.path, line.path[1:], strict=False))
    yield from dict.fromkeys(b if a == part.id else a for a, b in pairs if part.id in {a, b} and a != b)

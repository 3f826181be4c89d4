"""How a unit stands at some moment, as a diagram shows it: what each part holds, how each device stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from proctool.model.unit import Part
from proctool.model.words import POSITION_WORDS, Position, Role
from proctool.render.pictures.picture import Circle, Group, Label, Mark, Path
from proctool.render.speech import fixed


class State(StrEnum):
    """What a part holds of an energy."""

    LIVE = "live"
    MAYBE = "may be live"
    TRAPPED = "trapped"
    ZERO = "zero"


NAMES: Mapping[State, str] = {
    State.LIVE: fixed("live"),
    State.MAYBE: fixed("may be live"),
    State.TRAPPED: fixed("trapped"),
    State.ZERO: fixed("zero"),
}
MEANINGS: Mapping[State, str] = {
    State.LIVE: fixed("live: fed by a source"),
    State.MAYBE: fixed("may be live: fed in some orders of the work: treat as live"),
    State.TRAPPED: fixed("trapped: cut off, but still in the part"),
    State.ZERO: fixed("zero: none left"),
}
"""What is said of a state beside its sign."""


@dataclass(frozen=True, slots=True)
class Overlay:
    """How the unit stands at some moment."""

    states: Mapping[tuple[str, str], State] = field(default_factory=dict)
    """By part and energy."""
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """How each device stands, in the words of the file format: `closed`, `locked`, `open`."""


def is_off(part: Part, overlay: Overlay | None) -> bool:
    """Whether an isolator is drawn as passing nothing: as the overlay says, else as it normally is."""
    position = part.normal
    words = POSITION_WORDS.get(part.device, {}) if part.device else {}
    for word in overlay.words.get(part.id, ()) if overlay else ():
        position = words.get(word, Position.OFF if word == "off" else position)
    return part.role is Role.ISOLATOR and position is Position.OFF


def is_open(part: Part, overlay: Overlay | None) -> bool:
    """Whether a way out is drawn open."""
    said = overlay.words.get(part.id, ()) if overlay else ()
    return "open" in said or (part.normally_open and "shut" not in said)


def mark(state: State, x: float, y: float) -> tuple[Mark, ...]:
    """The sign of a state: full, half or empty; a question mark where it is not sure."""
    if state is State.LIVE:
        return (Circle(x, y, 4.5, "live"),)
    half = f"M{x:.1f} {y - 4.5:.1f} A4.5 4.5 0 0 0 {x:.1f} {y + 4.5:.1f} Z"
    inside: dict[State, tuple[Mark, ...]] = {
        State.TRAPPED: (Path(half, "solid"),),
        State.MAYBE: (Label(x, y + 3, "?", 8, bold=True),),
    }
    return Circle(x, y, 4.5, "ring"), *inside.get(state, ())


def sign(part: str, energy: str, overlay: Overlay, x: float, y: float) -> Group:
    """The sign of what a part holds, with those of the other states hidden beside it, for scripts."""
    now = overlay.states.get((part, energy))
    every = tuple(
        Group(f"as-{state.value.replace(' ', '-')}", mark(state, x, y), hidden=state is not now)
        for state in State
    )
    return Group("state", every, (("part", part), ("energy", energy), ("state", now.value if now else "")))

"""The words of `starts`, `leaves` and `needs`, held against a state."""

from __future__ import annotations

from proctool.model.unit import Part
from proctool.model.words import Position, Role, position_word
from proctool.network.reach import bits
from proctool.prove.setup import Setup
from proctool.prove.state import State, opened, positioned


def position_of(part: Part, word: str) -> Position | None:
    """The position of an isolator that a word of its device says, or None for another word."""
    return position_word(part.device, word)


def holds(setup: Setup, state: State, name: str, word: str) -> bool:
    """Whether a word is true of a part or a condition. Unknown words are false: never taken as met."""
    if name in setup.conditions:
        values = setup.plan.conditions[name]
        return values[state.conditions[setup.conditions[name]]] == word
    place = setup.network.place[name]
    part = setup.network.parts[place]
    bit = 1 << place
    if word == "locked":
        return bool(state.locked & bit)
    if part.role is Role.ISOLATOR and (position := position_of(part, word)) is not None:
        return state.position(bit) is position
    if part.role is Role.VENT and word in {"open", "shut", "closed"}:
        return bool(state.vented & bit) is (word == "open")
    return _of_part(setup, state, place, word)


def _of_part(setup: Setup, state: State, place: int, word: str) -> bool:
    bit = 1 << place
    carriers = setup.of_part[place]
    match word:
        case "open":
            return bool(state.opened & bit)
        case "shut":
            return not state.opened & bit
        case "uncovered":
            return bool(state.uncovered & bit)
        case "covered":
            return not state.uncovered & bit
        case "running":
            return bool(state.running & bit)
        case "stopped":
            return not state.running & bit
        case "leak_checked":
            return not state.owed & bit
        case "live":
            return any(state.live[c.index] & bit for c in carriers)
        case "relieved":
            return not any((state.live[c.index] | state.trapped[c.index]) & bit for c in carriers)
        case "proven":
            return bool(carriers) and all(state.proven[c.index] & bit for c in carriers)
    return False


def begin(setup: Setup) -> State:
    """The unit as found: devices normal, or as `starts` says; every holder charged with what it keeps."""
    net = setup.network
    state = State(
        off=0,
        throttled=0,
        locked=0,
        vented=net.mask(p.id for p in net.parts if p.role is Role.VENT and p.normally_open),
        opened=0,
        uncovered=0,
        running=net.mask(p.id for p in net.parts if p.normally_running),
        loose=0,
        uninspected=0,
        owed=0,
        air=0,
        live=tuple(0 for _ in setup.carriers),
        trapped=tuple(0 if c.energy.brought else c.kept for c in setup.carriers),
        discharged=tuple(0 for _ in setup.carriers),
        proven=tuple(0 for _ in setup.carriers),
        conditions=tuple(0 for _ in setup.conditions),
    )
    for place in bits(net.isolators):
        state = positioned(state, 1 << place, net.parts[place].normal)
    for name, words in setup.plan.starts.items():
        for word in words:
            state = _found(setup, state, net.place[name], word)
    return state


def _found(setup: Setup, state: State, place: int, word: str) -> State:
    """The state with one word of `starts` made true."""
    part, bit = setup.network.parts[place], 1 << place
    if word == "locked":
        return state._replace(locked=state.locked | bit)
    if part.role is Role.ISOLATOR and (position := position_of(part, word)) is not None:
        return positioned(state, bit, position)
    if part.role is Role.VENT and word in {"open", "shut", "closed"}:
        return state._replace(vented=state.vented | bit if word == "open" else state.vented & ~bit)
    match word:
        case "open":
            return opened(setup, state, place)
        case "running":
            return state._replace(running=state.running | bit)
        case "stopped":
            return state._replace(running=state.running & ~bit)
        case "uncovered":
            return state._replace(uncovered=state.uncovered | bit)
    return state

"""The state of a unit between two acts, and what follows from it.

``State`` is what the acts have made so far.  ``settle`` works out the charges after an act; the
other functions answer questions about one state: what a part is charged with, whether it is secured.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from .plant import Plant, listed

Pair = tuple[str, str]  # (part, energy)
Parts = frozenset[str]
Pairs = frozenset[Pair]


@dataclass(frozen=True)
class State:
    """Everything the acts can change.  An isolator that is neither ``off`` nor ``part`` is on."""

    off: Parts
    part: Parts
    locked: Parts
    vented: Parts  # vents that are open
    opened: Parts  # parts, bodies of isolators and vents included, that stand opened
    uncovered: Parts
    running: Parts
    unseen: Parts  # seals not inspected since the part was opened
    untight: Parts
    owed: Parts  # holders that owe a leak check
    air: Parts
    live: Pairs
    trapped: Pairs
    discharged: Pairs
    proven: Pairs
    conditions: frozenset[tuple[str, str]]

    def position(self, isolator: str) -> str:
        """on, part or off."""
        return "off" if isolator in self.off else "part" if isolator in self.part else "on"

    def moved(self, isolator: str, position: str) -> State:
        """The same with one isolator in another position."""
        return replace(
            self,
            off=self.off | {isolator} if position == "off" else self.off - {isolator},
            part=self.part | {isolator} if position == "part" else self.part - {isolator},
        )


# -- charges -------------------------------------------------------------------------------------------


def exits(plant: Plant, state: State, energy: str) -> set[str]:
    """Open vents and opened parts on an energy's lines."""
    return {p for p in plant.next[energy] if p in state.vented or p in state.opened}


def has_exit(plant: Plant, state: State, holder: str, energy: str) -> bool:
    """Whether an exit is in the sure reach of the holder."""
    return bool(plant.reach(energy, {holder}, state.off, sure=True) & exits(plant, state, energy))


def settle(plant: Plant, state: State) -> State:
    """The state with charges, discharges and proofs as they are after an act.

    ``state`` carries the charges of before the act, with what the act itself changed in them.
    """
    before = state.live | state.trapped
    live: set[Pair] = set()
    trapped: set[Pair] = set()
    discharged = set(state.discharged)
    for energy in plant.forms:
        holders = plant.holders(energy)
        fed = plant.reach(energy, plant.sources(energy), state.off)
        exit_leaves = {h for h in holders if plant.by_exit(h, energy) and has_exit(plant, state, h, energy)}
        held = set()
        for holder in holders:
            pair = (holder, energy)
            if holder in fed:
                live.add(pair)
                discharged.discard(pair)
            elif plant.by_exit(holder, energy):
                charged = pair in before or plant.rebuilds(holder, energy)
                if charged and holder not in exit_leaves:
                    held.add(holder)
            elif plant.keeps(holder, energy) and pair in before and pair not in discharged:
                held.add(holder)
        spread = plant.reach(energy, held, state.off)
        for holder in holders:
            if holder in held or (holder in spread and holder not in fed and holder not in exit_leaves):
                trapped.add((holder, energy))
            if holder in spread:
                discharged.discard((holder, energy))
    proven = {
        (h, e)
        for h, e in state.proven
        if (h, e) not in live
        and (h, e) not in trapped
        and not (plant.by_exit(h, e) and not has_exit(plant, state, h, e))
    }
    return replace(
        state,
        live=frozenset(live),
        trapped=frozenset(trapped),
        discharged=frozenset(discharged),
        proven=frozenset(proven),
    )


def charge(plant: Plant, state: State, part: str, energy: str) -> str:
    """live, trapped or zero, for holders and for devices."""
    if plant.is_holder(part):
        pair = (part, energy)
        return "live" if pair in state.live else "trapped" if pair in state.trapped else "zero"
    if part in plant.reach(energy, plant.sources(energy), state.off):
        return "live"
    charged = {h for h, e in state.trapped if e == energy}
    return "trapped" if part in plant.reach(energy, charged, state.off) else "zero"


def proven(plant: Plant, state: State, part: str, energy: str) -> bool:
    """Whether a zero is verified; a device's is when that of every holder next to it is."""
    if plant.is_holder(part):
        return (part, energy) in state.proven
    beside = plant.holders_beside(part, energy)
    return bool(beside) and all((h, energy) in state.proven for h in beside)


def is_live(plant: Plant, state: State, holder: str) -> bool:
    """Whether any energy of the holder is live."""
    return any(charge(plant, state, holder, e) == "live" for e in plant.energies(holder))


def is_full(plant: Plant, state: State, holder: str, energy: str) -> bool:
    """Live, even when isolators at ``part`` are counted as stopping."""
    return holder in plant.reach(energy, plant.sources(energy), state.off | state.part)


def feedable(plant: Plant, holder: str) -> list[str]:
    """The fluids of a holder that some source could reach with all isolators on."""
    return [e for e in plant.fluids(holder) if holder in plant.reach(e, plant.sources(e), set())]


# -- isolation -----------------------------------------------------------------------------------------


def bare(state: State) -> Parts:
    """The parts that must be kept dead: opened or uncovered."""
    return state.opened | state.uncovered


def origins(plant: Plant, state: State, part: str, energy: str) -> set[str]:
    """From where the energy could come to the part."""
    own = plant.reach(energy, {part}, state.off)
    charged = {h for h, e in state.live | state.trapped if e == energy}
    return plant.sources(energy) | (charged - own)


def is_secured(plant: Plant, state: State, part: str, energy: str, locks_alone: bool = False) -> bool:
    """Whether no unlocked isolator could bring the energy to the part."""
    kept_off = {i for i in state.off if i in state.locked or (plant.excused(i) and not locks_alone)}
    return part not in plant.reach(energy, origins(plant, state, part, energy), kept_off)


def is_deep(plant: Plant, state: State, part: str, energy: str) -> bool:
    """Whether the isolation is as deep as the energy asks for: one isolator that passes does no harm."""
    depth = plant.depth[energy]
    if depth == "single":
        return True
    start = origins(plant, state, part, energy)
    now = plant.reach(energy, start, state.off)
    for isolator in state.off:
        if isolator not in plant.next[energy]:
            continue
        then = plant.reach(energy, start, state.off - {isolator})
        if depth == "double":
            if part in then:
                return False
        elif part in plant.reach(energy, {isolator}, set(), barred=now):
            new = then - now
            if part in then or (new and not new & state.vented):
                return False
    return True


# -- the start -----------------------------------------------------------------------------------------


def first_state(plant: Plant, procedure: dict[str, Any]) -> State:
    """The unit as the procedure finds it: normal, but for what ``starts`` says."""
    nothing: Parts = frozenset()
    charged = frozenset(
        (h, e) for e in plant.forms if e not in plant.brought for h in plant.holders(e) if plant.keeps(h, e)
    )
    conditions = frozenset((name, values[0]) for name, values in procedure.get("conditions", {}).items())
    state = State(
        nothing,
        nothing,
        nothing,
        nothing,
        nothing,
        nothing,
        nothing,
        nothing,
        nothing,
        nothing,
        nothing,
        frozenset(),
        charged,
        frozenset(),
        frozenset(),
        conditions,
    )
    for part in plant.parts:
        role = plant.role(part)
        if role == "isolator":
            state = state.moved(part, plant.normal(part))
        elif role == "vent" and plant.parts[part].get("normal", "shut") == "open":
            state = replace(state, vented=state.vented | {part})
        elif normally_running(plant, part):
            state = replace(state, running=state.running | {part})
    for part, words in procedure.get("starts", {}).items():
        for word in listed(words):
            state = found(plant, state, part, word)
    return settle(plant, state)


def normally_running(plant: Plant, part: str) -> bool:
    """Whether the part runs when the unit is in service."""
    return "runs" in plant.parts[part] and plant.parts[part].get("normal") != "stopped"


def found(plant: Plant, state: State, part: str, word: str) -> State:
    """The state with one word of ``starts`` taken over."""
    role = plant.role(part)
    if word == "locked":
        return replace(state, locked=state.locked | {part})
    if word == "uncovered":
        return replace(state, uncovered=state.uncovered | {part})
    if word == "running":
        return replace(state, running=state.running | {part})
    if word == "stopped":
        return replace(state, running=state.running - {part})
    if role == "isolator":
        position = plant.position(part, word)
        assert position is not None, f"{word} is no position of {part}"
        return state.moved(part, position)
    if role == "vent":
        return replace(state, vented=state.vented | {part} if word == "open" else state.vented - {part})
    return opened(plant, state, part) if word == "open" else state


def opened(plant: Plant, state: State, part: str) -> State:
    """The state with the part opened and what opening brings with it; charges not yet settled."""
    owing: set[str] = set()
    air: set[str] = set()
    if plant.is_holder(part):
        if plant.fluids(part):
            owing.add(part)
            if plant.says(part, "traps_air"):
                air.add(part)
    else:
        for energy in plant.fluids(part):
            owing.update(plant.holders_beside(part, energy))
    return replace(
        state,
        opened=state.opened | {part},
        owed=state.owed | owing,
        air=state.air | air,
        unseen=state.unseen | {part} if "seal" in plant.parts[part] else state.unseen,
        untight=state.untight | {part} if "tighten" in plant.parts[part] else state.untight,
    )

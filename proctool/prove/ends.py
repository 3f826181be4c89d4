"""What must hold at the end of a procedure, and where it stops in the middle."""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.unit import Part
from proctool.model.verdict import Charge
from proctool.model.words import Role
from proctool.network.reach import Mask, bits
from proctool.prove.after import secured
from proctool.prove.charge import charge
from proctool.prove.report import Report
from proctool.prove.setup import Setup
from proctool.prove.state import State
from proctool.prove.words import holds, position_of


def at_end(setup: Setup, state: State) -> list[Report]:
    """At the end all is as it was, or as `leaves` says."""
    return [*_not_restored(setup, state), *_left(setup, state), *_left_unlocked(setup, state)]


def _not_restored(setup: Setup, state: State) -> Iterator[Report]:
    net = setup.network
    for place, part in enumerate(net.parts):
        bit = 1 << place
        said = setup.plan.leaves.get(part.id, ())
        promised = [word for word in said if word != "unchecked"]
        kept = all(holds(setup, state, part.id, word) for word in promised)
        if not kept or not (_said_otherwise(part, said) or _normal(state, part, bit)):
            yield Report("energy/not-restored", part.id)


def _said_otherwise(part: Part, said: tuple[str, ...]) -> bool:
    """Whether `leaves` says where a device shall stand, or whether a part shall run."""
    if part.role is Role.ISOLATOR:
        return any(position_of(part, word) for word in said)
    words = {"open", "shut", "closed"} if part.role is Role.VENT else {"running", "stopped"}
    return bool(words & set(said))


def _normal(state: State, part: Part, bit: Mask) -> bool:
    """Whether an isolator, a vent or a running part is as in normal service."""
    if part.role is Role.ISOLATOR:
        return state.position(bit) is part.normal
    if part.role is Role.VENT:
        return bool(state.vented & bit) is part.normally_open
    return part.runs is None or bool(state.running & bit) is part.normally_running


def _left(setup: Setup, state: State) -> Iterator[Report]:
    ids, leaves = setup.network.ids, setup.plan.leaves
    for place in bits(state.locked):
        if "locked" not in leaves.get(ids[place], ()):
            yield Report("energy/lock-left", ids[place])
    for place in bits(state.uncovered):
        if "uncovered" not in leaves.get(ids[place], ()):
            yield Report("energy/left-uncovered", ids[place])
    for place in bits(state.opened):
        if not _may_stay_open(setup, place):
            yield Report("leak/left-open", ids[place])
    for place in bits(state.owed):
        if not {"open", "unchecked"} & set(leaves.get(ids[place], ())):
            yield Report("leak/unchecked", ids[place])
    for carrier in setup.carriers:
        if carrier.energy.brought:
            i = carrier.index
            for place in bits(state.live[i] | state.trapped[i]):
                yield Report("chemical/not-flushed", ids[place], carrier.id)


def _may_stay_open(setup: Setup, place: int) -> bool:
    """Whether `leaves` lets a part's boundary stand open: `open` on an isolator or vent is its position."""
    part = setup.network.parts[place]
    return part.role not in {Role.ISOLATOR, Role.VENT} and "open" in setup.plan.leaves.get(part.id, ())


def _left_unlocked(setup: Setup, state: State) -> Iterator[Report]:
    """When people walk away, what stands open is dead and held dead by locks alone."""
    for place in bits(state.opened):
        for carrier in setup.of_part[place]:
            live = charge(setup, state, place, carrier) is Charge.LIVE
            if live or not secured(setup, state, place, carrier, excuses=False):
                yield Report("energy/left-unlocked", setup.network.ids[place], carrier.id)


def at_stop(setup: Setup, state: State) -> list[Report]:
    """Where a job stops in the middle the unit must be safe to walk away from."""
    ids = setup.network.ids
    reports = []
    for place in bits(state.exposed):
        for carrier in setup.of_part[place]:
            zero = charge(setup, state, place, carrier) is Charge.ZERO
            if not zero or not secured(setup, state, place, carrier, excuses=False):
                reports.append(Report("graph/end-unsafe", ids[place], carrier.id))
    for place in bits(state.owed):
        reports += (
            Report("graph/end-unsafe", ids[place], c.id)
            for c in setup.of_part[place]
            if state.live[c.index] >> place & 1
        )
    return reports

"""What changes while steps are done, as one small hashable value."""

from __future__ import annotations

from typing import NamedTuple

from proctool.model.words import Position
from proctool.network.reach import Mask
from proctool.prove.setup import Setup


class State(NamedTuple):
    """The unit at one moment. Masks are sets of parts; tuples hold one mask for each energy.

    A named tuple and not a dataclass: millions of these are hashed and compared.
    """

    off: Mask
    throttled: Mask
    """Isolators at `part`."""
    locked: Mask
    vented: Mask
    """Vents that stand open."""
    opened: Mask
    uncovered: Mask
    running: Mask
    loose: Mask
    """Parts with `tighten` that are not tight."""
    uninspected: Mask
    """Parts whose seal was not inspected since they were opened."""
    owed: Mask
    """Holders that owe a leak check."""
    air: Mask
    """Holders with air trapped in them."""
    live: tuple[Mask, ...]
    trapped: tuple[Mask, ...]
    discharged: tuple[Mask, ...]
    proven: tuple[Mask, ...]
    """Holders whose zero is verified and could not come back since."""
    conditions: tuple[int, ...]

    @property
    def exposed(self) -> Mask:
        """Parts that stand opened or uncovered."""
        return self.opened | self.uncovered

    def position(self, bit: Mask) -> Position:
        """Where an isolator stands."""
        if self.off & bit:
            return Position.OFF
        return Position.PART if self.throttled & bit else Position.ON


def positioned(state: State, bit: Mask, position: Position) -> State:
    """The state with one isolator moved."""
    return state._replace(
        off=state.off | bit if position is Position.OFF else state.off & ~bit,
        throttled=state.throttled | bit if position is Position.PART else state.throttled & ~bit,
    )


def opened(setup: Setup, state: State, place: int) -> State:
    """The state with one part opened: seal not inspected, leak check owed, air let in, no longer tight.

    A part that is no holder owes no check of its own: each holder next to it on a fluid line owes one.
    """
    bit = 1 << place
    owing = bit & setup.holds_fluid
    if not bit & setup.network.holders:
        owing = setup.fluid_holders_next_to(place)
    return state._replace(
        opened=state.opened | bit,
        uninspected=state.uninspected | bit & setup.sealed,
        owed=state.owed | owing,
        air=state.air | bit & setup.holds_fluid & setup.traps_air,
        loose=state.loose | bit & setup.tightened,
    )


def masks(state: State) -> tuple[Mask, ...]:
    """Every set of parts that makes up a state; its last field is the values of conditions."""
    found: list[Mask] = []
    for field in state[:-1]:
        found += (field,) if isinstance(field, int) else field
    return tuple(found)

"""What is live, trapped or zero: recomputed after every act.

For each energy and each holder on its line:

1. *live*: in the danger reach of the sources;
2. *held*: not live, kept by the holder, has not left it, and was not zero before or comes back by itself;
3. *trapped*: held, or in the danger reach of a held one, unless it would leave at once by a way out;
4. else *zero*.

A fluid leaves through an open vent or an opened part in the holder's sure reach. What is kept otherwise, and
a fluid named in the holder's `keeps`, leaves only by being discharged.
"""

from __future__ import annotations

from proctool.model.verdict import Charge
from proctool.network.reach import Mask
from proctool.prove.setup import Carrier, Setup
from proctool.prove.state import State


def relieved(setup: Setup, state: State, carrier: Carrier) -> Mask:
    """Holders with a way out for a fluid in their sure reach.

    Reach is the same in both directions, so one reach from all ways out answers for every holder.
    """
    exits = (state.vented | state.opened) & carrier.on_line
    if not exits or not carrier.leaving:
        return 0
    return setup.network.sure(carrier.id, exits, state.off) & carrier.leaving


def settle(setup: Setup, state: State) -> State:
    """The state with its charges, discharges and proofs brought up to date after an act."""
    live, trapped, discharged, proven = [], [], [], []
    for carrier in setup.carriers:
        i = carrier.index
        charged_before = state.live[i] | state.trapped[i]
        out = relieved(setup, state, carrier)
        now_live = carrier.holders & _reach(setup, carrier, carrier.sources, state.off)
        gone = state.discharged[i] & ~now_live
        held = carrier.kept & ~now_live & ~out & ~gone & (charged_before | carrier.rebuilding)
        arrived = _reach(setup, carrier, held, state.off)
        now_trapped = held | (arrived & carrier.holders & ~now_live & ~out)
        unrelieved = carrier.leaving & ~out
        live.append(now_live)
        trapped.append(now_trapped)
        discharged.append(gone & ~arrived)
        proven.append(state.proven[i] & ~now_live & ~now_trapped & ~unrelieved)
    return state._replace(
        live=tuple(live), trapped=tuple(trapped), discharged=tuple(discharged), proven=tuple(proven)
    )


def _reach(setup: Setup, carrier: Carrier, start: Mask, off: Mask) -> Mask:
    return setup.network.danger(carrier.id, start, off) if start else 0


def live_reach(setup: Setup, state: State, carrier: Carrier) -> Mask:
    """All parts, holders or not, in the danger reach of the sources."""
    return _reach(setup, carrier, carrier.sources, state.off)


def full_reach(setup: Setup, state: State, carrier: Carrier) -> Mask:
    """As `live_reach`, with isolators at `part` counted as stopping: reached at full pressure."""
    return _reach(setup, carrier, carrier.sources, state.off | state.throttled)


def charge(setup: Setup, state: State, place: int, carrier: Carrier) -> Charge:
    """What a part holds of one energy. A part that is no holder has what arrives at it."""
    bit = 1 << place
    i = carrier.index
    if bit & carrier.holders:
        if state.live[i] & bit:
            return Charge.LIVE
        return Charge.TRAPPED if state.trapped[i] & bit else Charge.ZERO
    if not bit & carrier.on_line:
        return Charge.ZERO
    if live_reach(setup, state, carrier) & bit:
        return Charge.LIVE
    return Charge.TRAPPED if _reach(setup, carrier, state.trapped[i], state.off) & bit else Charge.ZERO


def proven(setup: Setup, state: State, place: int, carrier: Carrier) -> bool:
    """Whether zero of one energy is verified at a part.

    A part that is no holder is proven when every holder next to it is; with none next to it, never.
    """
    bit = 1 << place
    verified = state.proven[carrier.index]
    if bit & carrier.holders:
        return bool(verified & bit)
    beside = setup.network.neighbours[carrier.id][place] & carrier.holders
    return bool(beside) and not beside & ~verified

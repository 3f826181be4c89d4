"""What keeps an energy from an exposed part at one moment: which devices, and whether they do."""

from __future__ import annotations

from proctool.network.reach import Mask, bits
from proctool.prove.after import origins
from proctool.prove.setup import Carrier, Setup
from proctool.prove.state import State


def barriers(setup: Setup, state: State, place: int, carrier: Carrier) -> Mask:
    """The isolators that are off and stand between a part and what could feed it, one behind the other too.

    An isolator stands between where, all isolators conducting, it is arrived at from the sources (and from
    charged holders that the part does not reach now) without passing the part, and the part from it without
    going back into what those reach now.
    """
    net, bit = setup.network, 1 << place
    start = origins(setup, state, place, carrier)
    if not start:
        return 0
    now = net.danger(carrier.id, start, state.off)
    fed = net.within(carrier.id, start & ~bit, 0, bit)
    found = 0
    for i in bits(state.off & fed & net.isolators):
        if net.within(carrier.id, 1 << i, 0, now & ~(1 << i)) & bit:
            found |= 1 << i
    return found


def ways_out(setup: Setup, state: State, place: int, carrier: Carrier) -> Mask:
    """Open vents, and other opened parts, that surely let a fluid out of a part."""
    if not carrier.energy.fluid:
        return 0
    bit = 1 << place
    exits = (state.vented | state.opened) & carrier.on_line & ~bit
    return setup.network.sure(carrier.id, bit, state.off) & exits


def keepers(setup: Setup, state: State, place: int, carrier: Carrier) -> Mask:
    """The holders that keep an energy and could give it to a part as the isolators stand; itself among them."""
    return setup.network.danger(carrier.id, 1 << place, state.off) & carrier.kept


def owing(setup: Setup, place: int) -> Mask:
    """The holders that owe a leak check when a part is opened."""
    if setup.network.holders >> place & 1:
        return 1 << place & setup.holds_fluid
    return setup.fluid_holders_next_to(place)

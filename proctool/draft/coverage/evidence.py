"""What keeps an energy from an exposed part at one moment: which devices, and whether they do."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

import networkx as nx

from proctool.network.reach import Mask, Network, bits
from proctool.prove.after import origins
from proctool.prove.setup import Carrier, Setup
from proctool.prove.state import State

_FED = -1
"""All that is fed, as one place of the network."""


class Barriers:
    """Which isolators stand between parts and what could feed them; each question is worked out once."""

    def __init__(self, setup: Setup) -> None:
        self._setup = setup
        self._known: dict[tuple[int, int, Mask, Mask], Mask] = {}

    def of(self, state: State, place: int, carrier: Carrier) -> Mask:
        """The isolators that are off between a part and what could feed it, one behind the other too.

        What could feed it are the sources and the charged holders that the part does not reach now. An
        isolator stands between where some way, all isolators conducting, leads over it from what these reach
        now to the part, never back into that, and passes nothing twice. None does where the part is reached.
        """
        net = self._setup.network
        start = origins(self._setup, state, place, carrier)
        fed = net.danger(carrier.id, start, state.off) if start else 0
        if not fed or fed >> place & 1:
            return 0
        off = state.off & net.isolators & carrier.on_line & ~(1 << place)
        key = place, carrier.index, fed, off
        if key not in self._known:
            arrived = (1 << i for i in bits(fed & off))
            at_edge = sum(i for i in arrived if net.within(carrier.id, i, 0, fed & ~i) >> place & 1)
            self._known[key] = at_edge | off & _between(net, carrier.id, place, fed)
        return self._known[key]


def _between(net: Network, energy: str, place: int, fed: Mask) -> Mask:
    """All parts on some way, passing nothing twice, from `fed`, taken as one, to a part.

    The ways between two places are the block of the network that holds both, were they joined (Whitney 1932).
    """
    conducting = net.on_line[energy] & ~(net.vents | net.gauges)
    passing = (conducting | 1 << place) & ~fed
    graph: nx.Graph[int] = nx.Graph([(_FED, place)])
    for i in bits(passing):
        near = net.neighbours[energy][i]
        graph.add_edges_from((i, j) for j in bits(near & passing))
        if near & fed & conducting:
            graph.add_edge(_FED, i)
    blocks = cast("Iterator[set[int]]", nx.biconnected_components(graph))  # its stubs say otherwise
    block = next(block for block in blocks if _FED in block and place in block)
    return sum(1 << i for i in block if i != _FED)


def ways_out(setup: Setup, state: State, place: int, carrier: Carrier) -> Mask:
    """Open vents, and other opened parts, that surely let a fluid out of a part."""
    if not carrier.energy.fluid:
        return 0
    bit = 1 << place
    exits = (state.vented | state.opened) & carrier.on_line & ~bit
    return setup.network.sure(carrier.id, bit, state.off) & exits


def keepers(setup: Setup, state: State, place: int, carrier: Carrier) -> Mask:
    """The holders that keep an energy and could give it to a part as it is isolated; itself among them."""
    return setup.network.danger(carrier.id, 1 << place, state.off) & carrier.kept


def owing(setup: Setup, place: int) -> Mask:
    """The holders that owe a leak check when a part is opened."""
    if setup.network.holders >> place & 1:
        return 1 << place & setup.holds_fluid
    return setup.fluid_holders_next_to(place)

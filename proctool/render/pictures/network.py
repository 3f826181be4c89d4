"""What of a unit is drawn: its parts as places of a graph, what hangs on each, and the layer of each.

Parts that stand on lines are laid out from left to right. Gauges hang above the part they read, ways out of
one holder hang below it; portable testers stand apart.

Layers are those that make all wires together shortest (E. R. Gansner, E. Koutsofios, S. C. North, K.-P. Vo,
*A technique for drawing directed graphs*, IEEE Trans. Software Eng. 19 (1993) 214-230, section 2: the linear
programme of ranking; from memory). It is solved as its dual, a flow of least cost, by networkx.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import networkx as nx

from proctool.model.unit import Unit
from proctool.model.words import Role

_ORIGIN = ""
"""Stands before all parts while their layers are worked out; no part has this name."""


@dataclass(frozen=True, slots=True)
class Wire:
    """Two neighbouring parts, in the direction of drawing, and the energies that run between them."""

    start: str
    end: str
    energies: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Drawn:
    """The parts of a unit by where they are drawn."""

    parts: tuple[str, ...]
    """Those laid out from left to right."""
    wires: tuple[Wire, ...]
    """Between those."""
    above: Mapping[str, tuple[str, ...]]
    """The gauges of a part."""
    below: Mapping[str, tuple[str, ...]]
    """The ways out of a part."""
    hung: Mapping[str, tuple[str, ...]]
    """The energies that reach each part that hangs on another."""
    apart: tuple[str, ...]
    """Portable testers."""


def drawn(unit: Unit) -> Drawn:
    """Which parts are laid out, hung on others, or stand apart."""
    pairs: dict[tuple[str, str], list[str]] = {}
    for line in unit.lines.values():
        for a, b in zip(line.path, line.path[1:], strict=False):
            if a != b:
                key = (b, a) if (b, a) in pairs else (a, b)
                known = pairs.setdefault(key, [])
                known += [energy for energy in line.energies if energy not in known]
    near: dict[str, list[str]] = {}
    for a, b in pairs:
        near.setdefault(a, []).append(b)
        near.setdefault(b, []).append(a)
    above: dict[str, list[str]] = {}
    below: dict[str, list[str]] = {}
    hung: dict[str, tuple[str, ...]] = {}
    apart: list[str] = []
    for part in unit.parts.values():
        ends = near.get(part.id, [])
        if part.role is Role.GAUGE and not ends:
            if part.at and part.at in unit.parts:
                above.setdefault(part.at, []).append(part.id)
                hung[part.id] = (part.energy,) if part.energy else ()
            else:
                apart.append(part.id)
        elif part.role is Role.VENT and len(ends) == 1 and unit.parts[ends[0]].holder:
            below.setdefault(ends[0], []).append(part.id)
            hung[part.id] = tuple(pairs.get((part.id, ends[0])) or pairs[ends[0], part.id])
    laid = tuple(name for name in unit.parts if name not in hung and name not in apart)
    order = tuple(unit.energies)
    wires = [
        (a, b, tuple(sorted(es, key=order.index))) for (a, b), es in pairs.items() if {a, b} <= set(laid)
    ]
    return Drawn(laid, _forward(wires), _frozen(above), _frozen(below), hung, tuple(apart))


def _frozen(lists: Mapping[str, list[str]]) -> dict[str, tuple[str, ...]]:
    return {name: tuple(items) for name, items in lists.items()}


def _forward(wires: Iterable[tuple[str, str, tuple[str, ...]]]) -> tuple[Wire, ...]:
    """The wires, those turned round that would close a circle with the ones before them."""
    graph: nx.DiGraph[str] = nx.DiGraph()
    found: list[Wire] = []
    for a, b, energies in wires:
        graph.add_nodes_from((a, b))
        start, end = (b, a) if nx.has_path(graph, b, a) else (a, b)
        graph.add_edge(start, end)
        found.append(Wire(start, end, energies))
    return tuple(found)


def groups(parts: Sequence[str], wires: Iterable[Wire]) -> tuple[tuple[str, ...], ...]:
    """Parts that hang together, each group in file order."""
    graph: nx.Graph[str] = nx.Graph()
    graph.add_nodes_from(parts)
    graph.add_edges_from((wire.start, wire.end) for wire in wires)
    place = {name: n for n, name in enumerate(parts)}
    joined = [tuple(sorted(group, key=place.__getitem__)) for group in nx.connected_components(graph)]
    return tuple(sorted(joined, key=lambda group: place[group[0]]))


def layers(group: Sequence[str], wires: Sequence[Wire]) -> dict[str, int]:
    """The layer of each part of a group, from 0: every wire leads to a later one, all together shortest."""
    weight = {(wire.start, wire.end): 1 for wire in wires}
    flow: nx.DiGraph[str] = nx.DiGraph()
    for name in group:
        come = sum(pair[1] == name for pair in weight)
        flow.add_node(name, demand=come - sum(pair[0] == name for pair in weight))
    for start, end in weight:
        flow.add_edge(start, end, weight=-1)
    _, carried = nx.network_simplex(flow)
    # Wires that carry flow are exactly one layer long (complementary slackness); all others at least one.
    apart: nx.DiGraph[str] = nx.DiGraph()
    apart.add_weighted_edges_from((_ORIGIN, name, 0) for name in group)
    for start, end in weight:
        apart.add_edge(start, end, weight=-1)
        if carried[start][end]:
            apart.add_edge(end, start, weight=1)
    length = nx.single_source_bellman_ford_path_length(apart, _ORIGIN)
    first = max(length[name] for name in group)
    return {name: int(first - length[name]) for name in group}

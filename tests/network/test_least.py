"""The search: bounds, limits and ties; and the count of a cut against a flow algorithm."""

from __future__ import annotations

import random
from functools import reduce
from operator import or_

import networkx as nx
import pytest

from proctool.network import least as searching
from proctool.network.cuts import isolators_of
from proctool.network.least import Demand, Price, fewest, least, nearest_first
from proctool.network.reach import bits
from tests.network.build import WATER, network
from tests.network.random_unit import random_unit


def feeds(count, in_series, depth, *, holders=False, vents=False):
    """A work place with so many feeds, each through so many isolators; 30 of them is a large unit."""
    parts: dict[str, str] = {"work": "component"}
    lines = []
    for i in range(count):
        path = [f"s{i}"]
        parts[f"s{i}"] = "source"
        for k in range(in_series):
            parts[f"v{i}_{k}"] = "isolator"
            path.append(f"v{i}_{k}")
            if holders or vents:
                parts[f"h{i}_{k}"] = "component"
                path.append(f"h{i}_{k}")
            if vents:
                parts[f"d{i}_{k}"] = "vent"
                lines.append(f"water: h{i}_{k} d{i}_{k}")
        lines.append(f"water: {' '.join(path)} work")
    return network({"water": {"form": "liquid_pressure", "depth": depth}}, parts, lines)


@pytest.mark.parametrize("depth", ["single", "double", "double_block_and_bleed"])
@pytest.mark.parametrize("holders", [False, True])
@pytest.mark.parametrize("vents", [False, True])
@pytest.mark.parametrize(("count", "in_series"), [(6, 5), (3, 10), (10, 3)])
def test_thirty_isolators_are_searched_to_the_end(monkeypatch, depth, holders, vents, count, in_series):
    monkeypatch.setattr(searching, "NODES", 200)
    unit = feeds(count, in_series, depth, holders=holders, vents=vents)
    cut = isolators_of(unit, ["work"])
    deep = 1 if depth == "single" else 2
    nearest = [f"v{i}_{k}" for i in range(count) for k in range(in_series - deep, in_series)]
    assert cut.least
    assert cut.isolators == tuple(nearest)
    assert len(cut.bleeds) == (count if vents and depth == "double_block_and_bleed" else 0)


def test_the_limit_is_told_and_what_was_found_still_cuts(monkeypatch):
    monkeypatch.setattr(searching, "NODES", 10)
    unit = feeds(6, 5, "double", holders=True)
    cut = isolators_of(unit, ["work"])
    assert not cut.least
    off = unit.mask(cut.isolators)
    work = unit.mask(["work"])
    assert len(cut.isolators) == 12
    for leaking in cut.isolators:
        assert not unit.danger("water", unit.sources["water"], off & ~unit.mask([leaking])) & work


@pytest.mark.parametrize("start", range(0, 400, 100))
def test_any_demands_and_prices_against_all_subsets(start):
    """Demands drawn at random, prices with many ties, and losses that overlap."""
    for seed in range(start, start + 100):
        rng = random.Random(seed)  # noqa: S311 - cases for tests, no secrets
        count = rng.randint(3, 8)
        demands = []
        for _ in range(rng.randint(1, 4)):
            among = rng.sample(range(count), rng.randint(2, count))
            demands.append(Demand(sum(1 << i for i in among), rng.choice((1, 1, 2))))
        losses = [sum(1 << k for k in range(6) if rng.random() < 0.3) for _ in range(count)]

        def loss(chosen, losses=losses):
            return reduce(or_, (losses[i] for i in bits(chosen)), 0)

        price = Price(
            [rng.choice((1, 1, 1, 2)) for _ in range(count)],
            nearest_first([rng.randint(1, 3) for _ in range(count)]),
            loss,
        )

        def met(chosen, demands=demands):
            return all((d.among & chosen).bit_count() >= d.need for d in demands)

        def unmet(chosen, free, taken, demands=demands):
            for d in demands:
                need = d.need - (d.among & chosen).bit_count()
                if need > 0 and not d.among & taken:
                    return Demand(d.among & free, need)
            return None

        def rank(chosen, price=price):
            return (
                sum(price.first[i] for i in bits(chosen)),
                price.loss(chosen).bit_count(),
                sum(price.last[i] for i in bits(chosen)),
            )

        best = min((chosen for chosen in range(1 << count) if met(chosen)), key=rank)
        assert least((1 << count) - 1, unmet, price).chosen == best, seed


def test_no_part_is_needed_where_nothing_is_asked():
    assert fewest([], [0, 0, 0]).chosen == 0


def test_one_part_for_two_groups_then_the_nearer_then_the_first():
    assert fewest([0b011, 0b110], [0, 9, 0]).chosen == 0b010
    assert fewest([0b111], [5, 4, 4]).chosen == 0b010
    assert fewest([0b101, 0b110], [0, 0, 1]).chosen == 0b100
    assert fewest([0b0011, 0b1100], [0, 0, 0, 0]).chosen == 0b0101


@pytest.mark.parametrize("start", range(0, 300, 50))
def test_the_count_is_that_of_a_minimum_node_cut(start):
    """Single depth, one energy, plain isolators: Menger's theorem, by the flow algorithm of networkx."""
    compared = 0
    for seed in range(start, start + 50):
        drawn, _, _ = random_unit(seed, "single", isolators=12)
        kinds = {"isolator": "isolator", "source": "source", "check_valve": "check_valve"}
        parts = {n: kinds.get(p.role, "component") for n, p in drawn.parts.items()}
        unit = network(WATER, parts, [f"water: {' '.join(line.path)}" for line in drawn.lines.values()])
        work = next((n for n, role in parts.items() if role == "component"), None)
        if work is None:
            continue
        graph: nx.Graph = nx.Graph()
        graph.add_nodes_from(["in", "out", *parts])
        for line in drawn.lines.values():
            nx.add_path(graph, line.path)
        # All that is no isolator cannot be cut: it is grown together with what is next to it.
        solid = graph.subgraph(n for n in parts if parts[n] != "isolator")
        group = {n: i for i, nodes in enumerate(nx.connected_components(solid)) for n in nodes}
        small: nx.Graph = nx.Graph()
        small.add_nodes_from(["in", "out"])
        for a, b in graph.edges:
            small.add_edge(group.get(a, a), group.get(b, b))
        small.remove_edges_from(nx.selfloop_edges(small))
        live = {group[n] for n in parts if parts[n] == "source" and n in group}
        if group[work] in live:
            assert isolators_of(unit, [work]).uncut, seed
            continue
        expected = _cut_between(small, live, group[work])
        cut = isolators_of(unit, [work])
        assert not cut.uncut, seed
        assert len(cut.isolators) == expected, seed
        compared += expected > 0
    assert compared > 5


def _cut_between(graph, live, work):
    """The fewest isolators (nodes with a text name) between regions; regions are given no limit."""
    flow: nx.DiGraph = nx.DiGraph()
    for node in graph:
        limit = {"capacity": 1} if isinstance(node, str) else {}
        flow.add_edge((node, 0), (node, 1), **limit)
    for a, b in graph.edges:
        flow.add_edge((a, 1), (b, 0))
        flow.add_edge((b, 1), (a, 0))
    for region in live:
        flow.add_edge("in", (region, 0))
    if "in" not in flow or (work, 0) not in flow:
        return 0
    return nx.maximum_flow_value(flow, "in", (work, 0))

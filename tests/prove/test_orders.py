"""How many orders a procedure has: counts that can be looked up or worked out by hand, and a second counter.

Counting linear extensions is hard in general (Brightwell and Winkler, Counting linear extensions, 1991), so a
count may be given up; it is never guessed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import comb, factorial
from random import Random

import networkx as nx
import pytest

from proctool.model.plan import Frame
from proctool.model.verdict import Verdict
from proctool.prove.orders import count_orders
from tests.prove.build import Case, bare, case, proofs, trace

Edges = Sequence[tuple[int, int]]


def frame(size: int, edges: Edges) -> Frame:
    """A frame of so many steps, of each edge the first before the second; only its order is asked."""
    graph: nx.DiGraph[int] = nx.DiGraph()
    graph.add_nodes_from(range(size))
    graph.add_edges_from(edges)
    before = (sum(1 << j for j in nx.ancestors(graph, i)) for i in range(size))
    return Frame((), tuple(before))


def written(after: Mapping[str, Sequence[str]]) -> Case:
    """A procedure of steps that do nothing, each with what it comes after."""
    return bare([f"id: {name}, do: Look., after: [{', '.join(earlier)}]" for name, earlier in after.items()])


def orders(case: Case) -> int | None:
    result = case.check()
    assert len(result.verdicts) == 1, result.to_text()
    return result.verdicts[0].orders


def grid(columns: int) -> Edges:
    """Two rows of steps, along each row and from the upper row to the lower."""
    rows = [(i, i + 1) for row in (0, columns) for i in range(row, row + columns - 1)]
    return [*rows, *((i, i + columns) for i in range(columns))]


def subsets(size: int) -> Edges:
    """The subsets of a set, a smaller one before each that holds it."""
    masks = range(1 << size)
    return [(a, b) for a in masks for b in masks if a != b and a & b == a]


@pytest.mark.parametrize("size", range(9))
def test_steps_without_any_order(size: int) -> None:
    assert count_orders(frame(size, [])) == factorial(size)


def test_many_steps_without_any_order_are_counted_at_once() -> None:
    assert count_orders(frame(60, [])) == factorial(60)


@pytest.mark.parametrize("size", [1, 2, 7, 400])
def test_a_chain_has_one_order(size: int) -> None:
    assert count_orders(frame(size, [(i, i + 1) for i in range(size - 1)])) == 1


@pytest.mark.parametrize("columns", range(1, 13))
def test_a_grid_of_two_rows_has_a_catalan_number_of_orders(columns: int) -> None:
    assert count_orders(frame(2 * columns, grid(columns))) == comb(2 * columns, columns) // (columns + 1)


@pytest.mark.parametrize(("size", "count"), [(0, 1), (1, 1), (2, 2), (3, 48), (4, 1_680_384)])
def test_the_subsets_of_a_set(size: int, count: int) -> None:
    """How many ways there are to list them, each before all that hold it; that of four from memory."""
    assert count_orders(frame(1 << size, subsets(size))) == count


@pytest.mark.parametrize("chains", [(2, 2), (3, 4, 5), (10, 10, 10, 10, 10), (1, 30)])
def test_chains_beside_one_another(chains: tuple[int, ...]) -> None:
    """The multinomial coefficient of their lengths."""
    expected = factorial(sum(chains))
    for length in chains:
        expected //= factorial(length)
    edges: list[tuple[int, int]] = []
    start = 0
    for length in chains:
        edges += [(i, i + 1) for i in range(start, start + length - 1)]
        start += length
    assert count_orders(frame(start, edges)) == expected


# ---------------------------------------------------------------------------- through a procedure

SHAPES = {
    "two chains of two": ({"a": [], "b": ["a"], "c": [], "d": ["c"]}, 6),
    "N": ({"a": [], "b": [], "c": ["a"], "d": ["a", "b"]}, 5),
    "diamond": ({"a": [], "b": ["a"], "c": ["a"], "d": ["b", "c"]}, 2),
    "four free": ({"a": [], "b": [], "c": [], "d": []}, 24),
    "chain": ({"a": [], "b": ["a"], "c": ["b"], "d": ["c"]}, 1),
}


@pytest.mark.parametrize(("after", "count"), SHAPES.values(), ids=SHAPES)
def test_a_procedure_of_a_shape(after: dict[str, list[str]], count: int) -> None:
    assert orders(written(after)) == count


@pytest.mark.parametrize(
    ("steps", "count"),
    [
        (["id: a, do: Look.", "id: b, do: Look.", "id: c, do: Look."], 1),
        (["any_order: [{id: a, do: Look.}, {id: b, do: Look.}, {id: c, do: Look.}]"], 6),
        (
            [
                "id: first, do: Look.",
                "any_order: [{id: a, do: Look.}, {id: b, do: Look.}]",
                "id: z, do: Look.",
            ],
            2,
        ),
        (["any_order: [{id: g, steps: [{id: a, do: Look.}, {id: b, do: Look.}]}, {id: c, do: Look.}]"], 3),
        (["id: a, do: Look.", "id: b, do: Look., after: []", "id: c, do: Look."], 2),
        # Steps of an `otherwise` are no main steps.
        (["id: a, check: All is dry., otherwise: {steps: [{id: b, do: Wipe it.}], continue: true}"], 1),
    ],
)
def test_how_lists_are_ordered(steps: list[str], count: int) -> None:
    assert orders(bare(steps)) == count


# Seven steps that make a housing safe, and the step that opens it, which may come at any time.
CHAIN = """
    id: shut, isolate: valve
    lock: valve
    vent: button
    id: look, do: Look at the housing.
    id: wait, do: Wait until the flow stops.
    id: wipe, do: Wipe the housing.
    id: zero, verify_zero: {part: housing, by: gauge}
"""
OPENED_FREELY = case(
    """\
unit: T
title: Housing
energies:
  water: {form: liquid_pressure}
parts:
  supply: {role: source}
  valve: {role: isolator, device: valve}
  housing: {role: component, near: []}
  button: {role: vent}
  gauge: {role: gauge, at: housing, energy: water}
lines:
  main: {energy: water, path: [supply, valve, housing]}
  relief: {energy: water, path: [housing, button]}
""",
    CHAIN + "id: open, open: housing, after: []",
    "leaves: {valve: [closed, locked], button: open, housing: open}\n",
)


def test_seven_steps_and_a_free_one_have_eight_orders_of_which_one_is_safe() -> None:
    assert orders(OPENED_FREELY) == 8
    assert OPENED_FREELY.check().verdicts[0].verdict is Verdict.UNSAFE
    chain = CHAIN.strip().splitlines()
    safe = []
    for place in range(8):
        steps = [*chain[:place], "id: open, open: housing", *chain[place:]]
        head = OPENED_FREELY.procedure.splitlines()[3] + "\n"
        (judgement,) = case(OPENED_FREELY.unit, "\n".join(steps), head).check().verdicts
        assert judgement.orders == 1
        if judgement.verdict is Verdict.SAFE:
            safe.append(place)
    assert safe == [7]


def test_each_way_that_a_free_step_goes_wrong_is_told_with_its_shortest_order() -> None:
    found = proofs(OPENED_FREELY.check())
    assert trace(found["energy/opened-live open housing"]) == (("open", None),)
    assert trace(found["energy/opened-charged open housing"]) == (("shut", None), ("open", None))
    run = (("shut", None), ("lock-valve", None), ("vent-button", None), ("open", None))
    assert trace(found["energy/opened-unproven open housing"]) == run


# ---------------------------------------------------------------------------- against a second counter


@pytest.mark.parametrize("seed", range(60))
def test_against_every_topological_sort(seed: int) -> None:
    rng = Random(seed)  # noqa: S311 - cases, not secrets
    size, density = rng.randint(1, 8), rng.random()
    names = list(range(size))
    rng.shuffle(names)
    edges = [(names[i], names[j]) for i in range(size) for j in range(i + 1, size) if rng.random() < density]
    graph: nx.DiGraph[int] = nx.DiGraph(edges)
    graph.add_nodes_from(names)
    assert count_orders(frame(size, edges)) == sum(1 for _ in nx.all_topological_sorts(graph))


# ---------------------------------------------------------------------------- too many to count


def test_too_many_sets_give_no_count_at_all() -> None:
    """The subsets of a set of six have 7 828 354 sets of done steps (a Dedekind number)."""
    assert count_orders(frame(64, subsets(6))) is None


@pytest.mark.parametrize("limit", range(30))
def test_a_count_is_given_up_or_exact_whatever_the_limit(limit: int) -> None:
    assert count_orders(frame(8, subsets(3)), limit) in {None, 48}


def test_a_limit_of_nothing_gives_up_and_a_large_one_does_not() -> None:
    assert count_orders(frame(8, subsets(3)), 0) is None
    assert count_orders(frame(8, subsets(3)), 1000) == 48


def test_a_count_that_is_given_up_is_null_in_the_report() -> None:
    """A crown of twice 17 steps: each upper one after all lower ones but its own, nowhere to cut it."""
    low = [f"id: a{i}, do: Look., after: []" for i in range(17)]
    above = [f"a{j}" for j in range(17)]
    high = [f"id: b{i}, do: Look., after: [{', '.join(a for a in above if a != f'a{i}')}]" for i in range(17)]
    result = bare([*low, *high]).check(budget=50)
    assert result.verdicts[0].orders is None
    assert '"orders": null' in result.to_json()

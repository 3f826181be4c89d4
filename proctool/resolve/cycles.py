"""Blocks and bases that need each other in a circle, also where nothing uses them yet.

What a procedure or a unit uses is told where it is resolved, with the way that leads there; here is the rest.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Mapping as ReadOnly
from graphlib import CycleError, TopologicalSorter

from proctool.model.document import Document, Kind, Scalar
from proctool.model.finding import Finding, file_fault
from proctool.model.procedure import Block, Entry, Procedure
from proctool.model.written import every_entry

Needs = dict[str, list[Scalar]]
"""For each name the places where it names another."""


def idle_cycles(
    documents: Iterable[Document], blocks: ReadOnly[str, Block], procedures: Iterable[Procedure]
) -> tuple[Finding, ...]:
    """A finding for each circle of blocks that no procedure uses, and of bases that no unit stands on."""
    of_blocks = {name: list(_uses(block.entries)) for name, block in blocks.items()}
    used = {name.text for procedure in procedures for name in _uses(procedure.entries)}
    of_bases: Needs = {}
    stood_on: set[str] = set()
    for document in documents:
        below = document.root.get("based_on")
        if document.kind is Kind.BASE:
            of_bases[document.name.text] = [below] if isinstance(below, Scalar) else []
        elif document.kind is Kind.UNIT and isinstance(below, Scalar):
            stood_on.add(below.text)
    return (*_idle(of_blocks, used, "Blocks"), *_idle(of_bases, stood_on, "Bases"))


def _idle(needs: Needs, used: set[str], what: str) -> Iterator[Finding]:
    try:
        TopologicalSorter({name: [to.text for to in found] for name, found in needs.items()}).prepare()
    except CycleError:
        yield from _circles(needs, used, what)


def _circles(needs: Needs, used: set[str], what: str) -> Iterator[Finding]:
    import networkx as nx  # noqa: PLC0415 - takes a while, and hardly any library has a circle

    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(sorted(needs))
    graph.add_edges_from((name, to.text) for name in sorted(needs) for to in needs[name] if to.text in needs)
    for start in sorted(used & needs.keys()):
        if start in graph:
            graph.remove_nodes_from([start, *nx.descendants(graph, start)])
    for circle in sorted(sorted(c) for c in nx.strongly_connected_components(graph)):
        first = circle[0]
        if len(circle) == 1 and not graph.has_edge(first, first):
            continue
        names = [edge[0] for edge in nx.find_cycle(graph.subgraph(circle), first)]
        places = needs[names[0]]
        at = next(place for place in places if place.text == (*names[1:], names[0])[0])
        shown = " → ".join((*names, names[0]))
        yield file_fault("file/cycle", f"{what} need each other: {shown}.", at.span)


def _uses(entries: Iterable[Entry]) -> Iterator[Scalar]:
    """Every `use` in some entries, in their `otherwise` too."""
    return (entry.block for entry in every_entry(entries) if entry.block is not None)

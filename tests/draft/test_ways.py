"""Ways of isolating on random units: what is found, what is refused, and that nothing less would do."""

from __future__ import annotations

from collections.abc import Iterator

import networkx as nx
import pytest

from proctool.api import Drafted, DraftOrder, Library, draft
from proctool.draft.writing.ways import MOST, ways
from proctool.model.finding import Level
from proctool.model.unit import Unit
from proctool.model.words import Role
from proctool.network.reach import Network
from tests.draft.openable import Openable
from tests.draft.written_units import helped, library_of
from tests.network.brute import subsets
from tests.network.build import unit as small
from tests.network.random_unit import random_unit

BLOCKS = [range(start, start + 20) for start in range(0, 120, 20)]


def cases(seeds: range, depth: str) -> Iterator[tuple[str, Library, Unit, str]]:
    """Units as they are read from files, and each part that may be opened."""
    for seed in seeds:
        made, _, _ = random_unit(seed, depth, isolators=5, alike=True)
        library = library_of(helped(made, seed))
        unit = library.units.whole["TEST"]
        network = Network(unit)
        for part in unit.parts.values():
            if part.role is not Role.SOURCE and part.at != "any" and network.energies_of(part.id):
                yield f"{seed} {part.id}", library, unit, part.id


def drafted(library: Library, part: str) -> Drafted:
    return draft(library, DraftOrder("TEST", (part,), "drafted", "drafted.yaml"))


def errors(found: Drafted) -> set[str]:
    assert found.unsafe is not None
    return {finding.rule for finding in found.unsafe.findings if finding.level is Level.ERROR}


@pytest.mark.parametrize("seeds", BLOCKS, ids=lambda r: str(r.start))
def test_a_part_is_drafted_safe_exactly_where_brute_force_says_that_it_can_be_opened(seeds: range) -> None:
    for name, library, unit, part in cases(seeds, "single"):
        found, can = drafted(library, part), Openable(unit).at_all(part)
        if found.unsafe is None:
            assert bool(found.proposals) is can, name
            assert bool(found.lacks) is not can, name
        else:  # water and power come back by one device: a fault of the unit that no order of steps mends
            assert errors(found) == {"leak/power-before-check"}, name
            assert any(both(unit, isolator) for isolator in unit.parts), name


def both(unit: Unit, name: str) -> bool:
    """Whether an isolator cuts electricity and something else."""
    forms = {
        unit.energies[e].form for line in unit.lines.values() if name in line.path for e in line.energies
    }
    return unit.parts[name].role is Role.ISOLATOR and "electricity" in forms and len(forms) > 1


@pytest.mark.parametrize("seeds", BLOCKS[:3], ids=lambda r: str(r.start))
def test_where_double_isolation_is_asked_for_a_draft_is_never_given_against_brute_force(seeds: range) -> None:
    given = 0
    for name, library, unit, part in cases(seeds, "double"):
        found, can = drafted(library, part), Openable(unit).at_all(part)
        given += bool(found.proposals)
        assert can or not found.proposals, name
        assert not can or not found.lacks, name
        if found.unsafe is not None:
            assert errors(found) <= {"energy/isolation-too-thin", "leak/power-before-check"}, name
    assert given


@pytest.mark.parametrize("depth", ["double", "double_block_and_bleed"])
@pytest.mark.parametrize("seeds", BLOCKS[:5], ids=lambda r: str(r.start))
def test_a_deep_isolation_that_brute_force_finds_is_drafted(seeds: range, depth: str) -> None:
    """Whatever else presses on the isolators is let out, and a store that is emptied so feeds nothing."""
    given = 0
    for name, library, unit, part in cases(seeds, depth):
        if Openable(unit).deep_at_all(part):
            found = drafted(library, part)
            given += bool(found.proposals)
            assert found.proposals or errors(found) == {"leak/power-before-check"}, name
    assert given


def test_a_full_store_behind_a_single_valve_is_let_out() -> None:
    """Beyond one valve, off in normal service, a tank stands full: one block is not two."""
    energies = {"water": {"form": "liquid_pressure", "depth": "double_block_and_bleed"}}
    parts = {
        **dict.fromkeys(("a", "b"), "isolator"),
        **dict.fromkeys(("bleed", "drain", "cock"), "vent"),
        "n": {"role": "isolator", "normal": "off"},
        "s": "source",
        "c": "component",
        "p": "component",
        "tank": "store",
    }
    lines = ["water: s a c b p n tank", "water: c bleed", "water: p drain", "water: tank cock"]
    way = next(ways(Network(small(energies, parts, lines)), ["p"]))
    assert way.lacks == ()
    assert set(way.isolators) == {"a", "b", "n"}
    assert set(way.vents) == {"bleed", "drain", "cock"}


@pytest.mark.parametrize("seeds", BLOCKS, ids=lambda r: str(r.start))
def test_no_fewer_isolators_would_do(seeds: range) -> None:
    for name, _, unit, part in cases(seeds, "single"):
        network, brute = Network(unit), Openable(unit)
        way = next((way for way in ways(network, [part]) if not way.lacks), None)
        if way is None:
            continue
        fixed = brute.brute.normally_off
        assert brute.with_off(part, set(way.isolators) | fixed), name
        plain = not unit.parts[part].near and not any(p.role is Role.STORE for p in unit.parts.values())
        if plain and not way.besides:  # stores, and what is near, are cut off without need as well
            some = (chosen for chosen in subsets(brute.brute.isolators - fixed - {part}))
            least = min(len(chosen) for chosen in some if brute.with_off(part, chosen | fixed))
            assert len(set(way.isolators) - fixed) == least, name


@pytest.mark.parametrize("seeds", BLOCKS, ids=lambda r: str(r.start))
def test_the_first_way_of_one_energy_is_as_small_as_the_cut_of_networkx(seeds: range) -> None:
    compared = 0
    for name, _, unit, part in cases(seeds, "single"):
        way = next(ways(Network(unit), [part]))
        if len(unit.energies) > 1 or way.besides or way.cut.uncut or unit.parts[part].near or way.discharges:
            continue
        compared += 1
        assert len(set(way.cut.isolators) - set(way.cut.stay_off)) == split_cut(unit, part), name
    assert compared


def split_cut(unit: Unit, part: str) -> int:
    """The least vertex cut: each part is an edge of the split graph, of capacity 1 where it is an isolator.

    Vents and gauges lead nowhere; isolators off in normal service are cut already; stores feed too where no
    vent lets them out with every isolator off, which the brute force of the network tells.
    """
    from tests.network.brute import Brute

    brute = Brute(unit)
    (energy,) = unit.energies
    origins = (brute.sources(energy) | brute.stubborn_stores(energy)) - {part}
    graph: nx.DiGraph[object] = nx.DiGraph()
    graph.add_nodes_from(("from", "to"))
    for name, found in unit.parts.items():
        device = found.role is Role.ISOLATOR and name != part
        ends = found.role in {Role.VENT, Role.GAUGE} and name not in {part, *origins}
        if not ends and not (device and name in brute.normally_off):
            graph.add_edge((name, "in"), (name, "out"), **({"capacity": 1} if device else {}))
    for name, others in brute.next[energy].items():
        for other in others:
            graph.add_edge((name, "out"), (other, "in"))
    for origin in origins:
        graph.add_edge("from", (origin, "in"))
    graph.add_edge((part, "out"), "to")
    return int(nx.maximum_flow_value(graph, "from", "to"))


def test_the_search_says_when_it_ends_early() -> None:
    """Rows of valves side by side have more cuts than are looked at, and none reaches a vent."""
    names = [f"v{i}{j}" for i in range(3) for j in range(7)]
    parts = {"s": "source", "p": "component", **dict.fromkeys(names, "isolator")}
    rows = [f"water: s {' '.join(names[7 * i : 7 * i + 7])} p" for i in range(3)]
    found = list(ways(Network(small({"water": "liquid_pressure"}, parts, rows)), ["p"]))
    assert found[-1].lacks[0].want == "search"
    assert len(found) <= MOST + 1

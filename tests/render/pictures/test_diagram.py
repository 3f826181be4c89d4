"""The energy diagram: every part once, joined as in the unit, and nothing on top of anything else."""

from __future__ import annotations

import random
from itertools import combinations, pairwise, product
from pathlib import Path

import networkx as nx
import pytest

from proctool.api import open_library
from proctool.model.words import Role
from proctool.render.pictures.diagram import energy_diagram
from proctool.render.pictures.network import drawn, groups, layers
from proctool.render.pictures.overlay import Overlay, State
from proctool.render.pictures.picture import PAGE, PHONE, Group, Label, every
from proctool.render.pictures.svg import svg
from tests.render import kw4
from tests.render.pictures import made, seen

ROOT = Path(__file__).parents[3]
UNITS = {
    name: unit
    for library in ("procedures", "household")
    for name, unit in open_library(ROOT / library).units.whole.items()
}
SEEDS = range(25)
"""Of made-up units: long names, circles, up to 60 parts."""


@pytest.mark.parametrize("width", [PAGE, PHONE])
@pytest.mark.parametrize("name", sorted(UNITS))
def test_no_text_of_a_real_unit_meets_anything(name, width):
    unit = UNITS[name]
    assert seen.faults(energy_diagram(unit, width=width)) == []
    assert seen.faults(energy_diagram(unit, width=width, overlay=overlay(unit, 7))) == []


@pytest.mark.parametrize("shown", [True, False])
@pytest.mark.parametrize("width", [PAGE, PHONE])
@pytest.mark.parametrize("name", sorted(UNITS))
def test_the_energies_of_a_real_unit_are_named_in_whole_words(name, width, shown):
    unit = UNITS[name]
    picture = energy_diagram(unit, width=width, overlay=overlay(unit, 7) if shown else None)
    for mark in every(picture.marks):
        if isinstance(mark, Group) and mark.name == "part":
            part = unit.parts[dict(mark.data)["part"]]
            said = " ".join(one.text for one in every(mark.marks) if isinstance(one, Label)).split()
            here = {
                energy for line in unit.lines.values() if part.id in line.path for energy in line.energies
            }
            for energy in here if part.holder else ():
                assert set(unit.energies[energy].name.split()) <= set(said), (part.id, energy)


@pytest.mark.parametrize("shown", [True, False])
@pytest.mark.parametrize("width", [PAGE, PHONE])
@pytest.mark.parametrize("seed", SEEDS)
def test_no_text_meets_anything_whatever_the_unit(seed, width, shown):
    unit = made.unit(seed)
    over = overlay(unit, seed) if shown else None
    assert seen.faults(energy_diagram(unit, width=width, overlay=over)) == []


@pytest.mark.parametrize("width", [PAGE, PHONE])
@pytest.mark.parametrize("seed", SEEDS)
def test_wires_that_do_not_join_never_lie_on_one_another(seed, width):
    picture = energy_diagram(made.unit(seed), width=width)
    for (energy, joins, one), (other_energy, also, other) in combinations(seen.wires(picture), 2):
        if energy == other_energy and joins & also:
            continue
        crossed = [(a, b) for a in one for b in other if seen.laid_on(a, b)]
        assert crossed == [], (energy, joins, other_energy, also)


@pytest.mark.parametrize("width", [PAGE, PHONE])
@pytest.mark.parametrize("seed", SEEDS)
def test_neighbours_are_joined_and_nothing_else(seed, width):
    unit = made.unit(seed)
    assert joined_wrongly(unit, energy_diagram(unit, width=width)) == []


@pytest.mark.parametrize("width", [PAGE, PHONE])
@pytest.mark.parametrize("name", sorted(UNITS))
def test_the_neighbours_of_a_real_unit_are_joined(name, width):
    assert joined_wrongly(UNITS[name], energy_diagram(UNITS[name], width=width)) == []


def joined_wrongly(unit, picture):
    """Neighbours that no drawn line joins, and drawn lines that join what is not joined in the unit."""
    wanted = real_pairs(unit)
    found = []
    drawn = {energy: nets(unit, picture, energy) for energy in unit.energies}
    for energy, pair in wanted:
        if not any(pair <= net for net in drawn[energy]):
            found.append(("not joined", energy, sorted(pair)))
    for energy, every_net in drawn.items():
        for net in every_net:
            graph: nx.Graph = nx.Graph(tuple(pair) for of, pair in wanted if of == energy and pair <= net)
            if set(graph) != net or not nx.is_connected(graph):
                found.append(("joined", energy, sorted(net)))
    return found


def nets(unit, picture, energy):
    """The parts that drawn lines of an energy join: one ends on another, or both at one letter."""
    wires = [(joins, pieces) for of, joins, pieces in seen.wires(picture) if of == energy]
    graph: nx.Graph = nx.Graph()
    graph.add_nodes_from(range(len(wires)))
    for (n, (joins, one)), (m, (also, other)) in combinations(enumerate(wires), 2):
        letters = {name for name in joins & also if name not in unit.parts}
        if letters or any(seen.meet(a, b) for a in one for b in other):
            graph.add_edge(n, m)
    return [
        frozenset(name for n in group for name in wires[n][0] if name in unit.parts)
        for group in nx.connected_components(graph)
    ]


def real_pairs(unit):
    """Neighbours with each energy between them, as far as neither hangs on the other."""
    near: dict[str, set[str]] = {}
    pairs = set()
    for line in unit.lines.values():
        for a, b in pairwise(line.path):
            if a != b:
                near.setdefault(a, set()).add(b)
                near.setdefault(b, set()).add(a)
                pairs |= {(energy, frozenset((a, b))) for energy in line.energies}
    hung = {
        part.id
        for part in unit.parts.values()
        if part.role is Role.VENT and len(ends := near.get(part.id, ())) == 1 and unit.parts[min(ends)].holder
    }
    return {(energy, pair) for energy, pair in pairs if not pair & hung}


@pytest.mark.parametrize("seed", SEEDS)
def test_every_part_is_drawn_once_and_told_once(seed):
    unit = made.unit(seed)
    picture = energy_diagram(unit)
    groups = [mark for mark in every(picture.marks) if isinstance(mark, Group) and mark.name == "part"]
    assert sorted(dict(group.data)["part"] for group in groups) == sorted(unit.parts)
    assert len(picture.entries) == len(unit.parts)
    for part, entry in zip(unit.parts.values(), picture.entries, strict=True):
        assert part.label.casefold() in entry.casefold()
    for group in groups:
        part = unit.parts[dict(group.data)["part"]]
        texts = [mark.text for mark in every(group.marks) if isinstance(mark, Label)]
        whole = "".join("".join(texts).split()).replace("-", "")  # a long word is broken with a hyphen
        assert "".join(part.name.split()).replace("-", "") in whole
        assert part.tag is None or part.tag in texts


def test_words_tell_neighbours_states_and_devices():
    states = {("first", "water"): State.TRAPPED}
    picture = energy_diagram(kw4.unit(), overlay=Overlay(states, {"inlet_valve": ("closed", "locked")}))
    assert (
        "Inlet valve V1: isolator (valve); water; next to water main and booster pump; closed and locked."
        in (picture.entries)
    )
    assert any(
        entry.startswith("Sediment housing: holds energy; water trapped;") for entry in picture.entries
    )


def test_a_script_finds_parts_energies_and_all_states():
    picture = energy_diagram(kw4.unit(), overlay=Overlay({("first", "water"): State.LIVE}))
    text = str(svg(picture))
    assert '<g class="pic-state" data-part="first" data-energy="water" data-state="live">' in text
    for state in ("live", "may-be-live", "trapped", "zero"):
        assert f'<g class="pic-as-{state}"' in text
    assert '<g class="pic-wire" data-energy="mains" data-joins="socket pump_plug">' in text
    assert "data-state" not in str(svg(energy_diagram(kw4.unit())))


def test_only_the_state_that_holds_is_shown():
    picture = energy_diagram(kw4.unit(), overlay=Overlay({("first", "water"): State.TRAPPED}))
    for mark in every(picture.marks):
        if isinstance(mark, Group) and mark.name == "state":
            shown = [inner.name for inner in mark.marks if isinstance(inner, Group) and not inner.hidden]
            assert shown == (["as-trapped"] if ("part", "first") in mark.data else [])


def test_a_closed_valve_and_a_pulled_plug_look_otherwise():
    normal = energy_diagram(kw4.unit(), overlay=Overlay())
    off = Overlay({}, {"inlet_valve": ("closed",), "pump_plug": ("unplugged",)})
    changed = energy_diagram(kw4.unit(), overlay=off)
    for part in ("inlet_valve", "pump_plug"):
        assert shapes(normal, part) != shapes(changed, part)
    assert shapes(normal, "motor") == shapes(changed, "motor")


def shapes(picture, part):
    return [
        mark
        for group in every(picture.marks)
        if isinstance(group, Group) and ("part", part) in group.data
        for mark in group.marks
        if not isinstance(mark, Label | Group)
    ]


def overlay(unit, seed):
    """Some state of every holder, some words at every device."""
    pick = random.Random(seed)  # noqa: S311 - the same overlay each time
    states = {
        (part.id, energy): pick.choice(list(State))
        for part in unit.parts.values()
        for energy in unit.energies
        if part.holder
    }
    words = {part.id: pick.choice([("closed", "locked"), ("open",), ()]) for part in unit.parts.values()}
    return Overlay(states, words)


def test_the_layers_make_the_wires_shortest():
    """Held against all layerings of small networks, one by one."""
    for seed in range(30):
        every_part = drawn(made.unit(seed, most=9))
        for group in groups(every_part.parts, every_part.wires):
            own = [wire for wire in every_part.wires if wire.start in group]
            if len(group) > 6:
                continue
            layer = layers(group, own)
            fits = [
                sum(at[group.index(w.end)] - at[group.index(w.start)] for w in own)
                for at in product(range(len(group)), repeat=len(group))
                if all(at[group.index(w.end)] > at[group.index(w.start)] for w in own)
            ]
            assert min(layer.values()) == 0
            assert all(layer[wire.end] > layer[wire.start] for wire in own)
            assert sum(layer[wire.end] - layer[wire.start] for wire in own) == min(fits)

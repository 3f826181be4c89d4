"""A unit looked over, against brute force over every set of isolators on small random networks."""

import pytest

from proctool.draft.writing.survey import survey
from proctool.network.reach import Network
from tests.draft.openable import Openable
from tests.network.brute import FLUID_FORMS, Brute
from tests.network.build import water
from tests.network.random_unit import random_unit

SEEDS = range(60)


def surveyed(seed):
    unit, _, _ = random_unit(seed, isolators=4)
    return unit, survey(Network(unit))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_part_is_blind_if_no_set_of_isolators_opens_it(seed):
    """Exactly then but for two: stores are cut off where they can be, and no gauge shows its own zero."""
    unit, _, _ = random_unit(seed, "single", isolators=4, alike=True)
    network, oracle = Network(unit), Openable(unit)
    blind = {part for one in survey(network).blind for part in one.parts}
    inside = [p.id for p in unit.parts.values() if p.role not in {"source", "outlet"} and p.at != "any"]
    asked = {part for part in inside if network.energies_of(part)}
    never = {part for part in asked if not oracle.at_all(part)}
    assert never <= blind
    strict = {part for part in blind - never if unit.parts[part].role != "gauge"}
    assert not strict or any(part.role == "store" for part in unit.parts.values())


@pytest.mark.parametrize("seed", SEEDS)
def test_who_loses_an_energy_to_an_isolator_alone(seed):
    unit, found = surveyed(seed)
    brute = Brute(unit)
    for reach in found.isolators:
        on = brute.reach(reach.energy, brute.sources(reach.energy), brute.normally_off - {reach.device})
        off = brute.reach(reach.energy, brute.sources(reach.energy), brute.normally_off | {reach.device})
        held = {n for n in on.keys() - off.keys() if unit.parts[n].role in {"component", "store"}}
        assert set(reach.parts) == held
    assert {r.device for r in found.isolators} == {
        n for n in brute.isolators if any(n in brute.on(e) for e in unit.energies)
    }


@pytest.mark.parametrize("seed", SEEDS)
def test_what_vents_let_out_and_gauges_show(seed):
    unit, found = surveyed(seed)
    brute = Brute(unit)
    reached = {(r.device, r.energy): set(r.parts) for r in (*found.vents, *found.gauges)}
    expected: dict[tuple[str, str], set[str]] = {key: set() for key in reached}
    for name, part in unit.parts.items():
        if part.role not in {"component", "store"}:
            continue
        isolators, _, _ = brute.cut([name])
        for energy, kind in unit.energies.items():
            if name not in brute.on(energy):
                continue
            near = brute.reach(energy, {name}, set(isolators) | brute.normally_off, sure=True)
            for other, device in unit.parts.items():
                leaves = kind.form in FLUID_FORMS and energy not in part.keeps
                if device.role == "vent" and other in near and leaves:
                    expected[other, energy].add(name)
                if device.role == "gauge" and device.energy == energy and device.at in {"any", *near}:
                    expected[other, energy].add(name)
    assert reached == expected


def test_blind_spots_by_hand():
    """What stands before v1 stays fed; c3 lies behind a restriction, so nothing lets it out or shows it."""
    parts = {"r": "restriction"}
    found = survey(water(parts, "s c v1 c2", "c d", "c2 d2", "c2 r c3"))
    told = {part: blind.lacks for blind in found.blind for part in blind.parts}
    assert told.keys() == {"c", "v1", "d", "d2", "r", "c3"}
    assert told["c"] == ("No isolator stands between the s and the c (water).",)
    assert told["c3"] == (
        "No vent surely relieves the c3 of water.",
        "Nothing shows that water is zero at the c3: no gauge, no tester and no vent sees it.",
    )
    assert found.by_vent_only == (("c", "water"), ("c2", "water"))
    assert found.needed == {"v1": ("c2", "c3")}

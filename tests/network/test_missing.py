"""What is still missing to keep energies away, held against every subset; ways, held against every reach."""

from __future__ import annotations

import random
from itertools import combinations, pairwise

import pytest

from proctool.network.missing import missing
from proctool.network.origins import Barrier, Bleed
from proctool.network.reach import Network
from proctool.network.ways import way
from tests.network.brute import Brute, subsets
from tests.network.build import water
from tests.network.random_unit import random_unit

BLOCKS = [range(start, start + 50) for start in range(0, 200, 50)]


def ids(network, places):
    return None if places is None else [network.ids[i] for i in places]


@pytest.mark.parametrize("need", [1, 2])
@pytest.mark.parametrize("seeds", BLOCKS, ids=lambda r: str(r.start))
def test_no_smaller_set_of_isolators_keeps_the_sources_away(seeds, need):
    found = 0
    for seed in seeds:
        unit, parts, _ = random_unit(seed, "single", alike=True)
        network, brute = Network(unit), Brute(unit)
        rng = random.Random(seed)  # noqa: S311 - units for tests, no secrets
        off = {name for name in unit.parts if name in brute.isolators and rng.random() < 0.3}
        free = brute.isolators - off
        pairs = [(e, p) for e in unit.energies for p in parts if p in brute.on(e)]
        barriers = [Barrier(e, network.sources[e], network.mask([p]), need) for e, p in pairs]
        wanted = [(e, o, p) for e, p in pairs for o in brute.sources(e)]
        cannot = [want for want in wanted if not brute.apart(*want, off | free, need)]
        able = [want for want in wanted if want not in cannot]

        def holds(chosen, brute=brute, off=off, able=able):
            return all(brute.apart(*want, off | chosen, need) for want in able)

        answer = missing(network, barriers, network.mask(off), network.mask(free))
        chosen = set(network.names(answer.isolators))
        assert set(network.names(answer.uncut)) == {o for _, o, _ in cannot}, seed
        assert chosen <= free and holds(chosen), seed
        smaller = combinations(sorted(free), len(chosen) - 1) if chosen else ()
        assert not any(holds(set(some)) for some in smaller), seed
        found += len(chosen)
    assert found > 2


@pytest.mark.parametrize("seeds", BLOCKS, ids=lambda r: str(r.start))
def test_a_way_passes_the_fewest_isolators_that_are_off_then_the_fewest_lines(seeds):
    barred = 0
    for seed in seeds:
        unit, parts, _ = random_unit(seed)
        network, brute = Network(unit), Brute(unit)
        rng = random.Random(seed)  # noqa: S311 - units for tests, no secrets
        off = {name for name in unit.parts if name in brute.isolators and rng.random() < 0.5}
        for energy in unit.energies:
            for origin in brute.sources(energy):
                for part in set(parts) & brute.on(energy):
                    found = ids(network, way(network, energy, network.mask([origin]),
                                             network.place[part], network.mask(off)))  # fmt: skip
                    passed = [
                        set(some)
                        for some in subsets(off)
                        if part in brute.reach(energy, {origin}, off - some)
                    ]
                    if not passed:
                        assert found is None, seed
                        continue
                    assert found is not None and (found[0], found[-1]) == (origin, part), seed
                    fewest = min(map(len, passed))
                    assert len(set(found[1:-1]) & off) == fewest, seed
                    away = [
                        brute.reach(energy, {origin}, off - some)[part]
                        for some in passed
                        if len(some) == fewest
                    ]
                    assert len(found) - 1 == min(away), seed
                    assert all(b in brute.next[energy][a] for a, b in pairwise(found)), seed
                    barred += fewest
    assert barred > 10


def test_of_two_ways_alike_the_first_in_the_file():
    unit = water({}, "s1 va c1", "s1 vb c1")
    assert ids(unit, way(unit, "water", unit.mask(["s1"]), unit.place["c1"], 0)) == ["s1", "va", "c1"]
    shut = unit.mask(["va"])
    assert ids(unit, way(unit, "water", unit.mask(["s1"]), unit.place["c1"], shut)) == ["s1", "vb", "c1"]


def test_no_way_leads_through_a_vent():
    unit = water({}, "s1 d1 c1")
    assert way(unit, "water", unit.mask(["s1"]), unit.place["c1"], 0) is None


def test_an_isolator_that_a_lock_fits_comes_before_fewer_that_none_fits():
    unit = water({"v1": {"role": "isolator", "lock": "none"}}, "s1 v1 c1", "v1 v2 s2")
    barrier = [Barrier("water", unit.mask(["s1"]), unit.mask(["c1"]), 1)]
    assert unit.names(missing(unit, barrier, 0, unit.isolators).isolators) == ("v1",)
    two = water({"v1": {"role": "isolator", "lock": "none"}}, "s1 va v1 c1", "s1 vb v1")
    barrier = [Barrier("water", two.mask(["s1"]), two.mask(["c1"]), 1)]
    assert two.names(missing(two, barrier, 0, two.isolators).isolators) == ("va", "vb")


def test_a_double_block_wants_its_bleed_open():
    unit = water({}, "s1 va c2 vb c1", "c2 d1")
    source, part, first = (unit.mask([name]) for name in ("s1", "c1", "va"))
    barriers, bleeds = [Barrier("water", source, part, 2)], [Bleed("water", source, part)]
    answer = missing(unit, barriers, first, unit.isolators, bleeds)
    assert (unit.names(answer.isolators), unit.names(answer.vents)) == (("vb",), ("d1",))
    assert missing(unit, barriers, first, unit.isolators, bleeds, unit.vents).vents == 0
    assert not answer.unbled
    bare = water({}, "s1 va c2 vb c1")
    answer = missing(bare, barriers, first, bare.isolators, bleeds)
    assert (bare.names(answer.isolators), answer.unbled) == (("vb",), True)

"""What a monitor can tell of a feed, against the whole network with every isolator where it stands."""

from __future__ import annotations

import random
from itertools import product

import pytest

from proctool.model.plan import Act, Frame, Plan, Step, StepKind
from proctool.model.words import Position
from proctool.network.reach import Network
from proctool.rules.feed import Positions, feed, open_vents, start
from tests.network.brute import Brute
from tests.network.build import SPAN, unit, water
from tests.network.random_unit import random_unit

VERBS = {Position.OFF: "isolate", Position.PART: "throttle", Position.ON: "connect"}


def plan_of(made, moved, starts=None):
    """A plan on a unit that moves some isolators."""
    acts = tuple(Act("isolate", name, SPAN) for name in moved)
    steps = (Step("s", StepKind.DO, "Shut off.", SPAN, acts=acts),)
    return Plan("p", "P", made, Frame(steps, (0,)), SPAN, {}, starts or {}, {})


def feeds(made, plan):
    net = Network(made)
    for part in made.parts.values():
        if part.holder:
            for energy in net.energies_of(part.id):
                yield feed(plan, net, part.id, energy), part.id, energy


@pytest.mark.parametrize("seed", range(120))
def test_as_the_whole_network(seed):
    """For every setting of the moved isolators: the same feeds, and the same vents while nothing does."""
    rng = random.Random(seed)  # noqa: S311 - settings for tests, no secrets
    made, _, _ = random_unit(seed, isolators=5)
    isolators = [n for n, p in made.parts.items() if p.role == "isolator"]
    moved = [n for n in isolators if rng.random() < 0.7]
    plan, net, brute = plan_of(made, moved), Network(made), Brute(made)
    vents = {n for n, p in made.parts.items() if p.role == "vent"}
    compared = 0
    for line, part, energy in feeds(made, plan):
        for said in product((False, True), repeat=len(moved)):
            off = {n for n in isolators if n not in moved and n in brute.normally_off}
            off |= {n for n, is_off in zip(moved, said, strict=True) if is_off}
            at = net.mask(off) & (line.isolators | line.beyond) & ~line.beyond
            sources = brute.sources(energy)
            fed = bool(sources) and part in brute.reach(energy, sources, off)
            assert line.live(at) == fed
            if not fed:
                joined = set(brute.reach(energy, {part}, off)) & vents
                assert set(net.names(line.joined(at) & line.vents)) == joined
            compared += 1
    assert compared or not any(feeds(made, plan))


def test_only_what_stands_between_matters():
    """Branches of one header that stays live have nothing to do with each other."""
    made = water({}, "s v1 c1 d1", "v1 v2 c2 d2", "s v3 c3 d3").unit
    line = feed(plan_of(made, ["v2", "v3"]), Network(made), "c2", "water")
    assert line.net.names(line.isolators) == ("v2",)
    assert line.net.names(line.vents) == ("d2",)


def test_every_valve_in_a_row_matters():
    made = water({}, "s v1 c0 v2 c2 d2").unit
    line = feed(plan_of(made, ["v1", "v2"]), Network(made), "c2", "water")
    assert line.net.names(line.isolators) == ("v1", "v2")


def test_positions_follow_the_acts():
    made = unit(
        {"water": "liquid_pressure"},
        {
            "s": "source",
            "a": {"role": "isolator"},
            "b": {"role": "isolator", "normal": "off"},
            "c": "component",
        },
        ["water: s a b c"],
    )
    net = Network(made)
    a, b = net.mask(["a"]), net.mask(["b"])
    at = start(plan_of(made, ["a", "b"]), net)
    assert at == Positions(off=b, part=0)
    for verb, part, off, throttled in (
        ("throttle", "b", 0, b),
        ("isolate", "a", a, b),
        ("restore", "b", a | b, 0),
        ("connect", "b", a, 0),
        ("restore", "a", 0, 0),
        ("lock", "a", 0, 0),
    ):
        at = at.after(net, Act(verb, part, SPAN), a | b)
        assert at == Positions(off, throttled)
    assert at.after(net, Act("isolate", "a", SPAN), b) == at


def test_what_a_plan_finds():
    made = unit(
        {"water": "liquid_pressure"},
        {
            "s": "source",
            "a": {"role": "isolator"},
            "c": "component",
            "d": "vent",
            "e": {"role": "vent", "normally_open": True},
        },
        ["water: s a c d", "water: c e"],
    )
    net = Network(made)
    assert net.names(open_vents(plan_of(made, ["a"]), net)) == ("e",)
    found = plan_of(made, [], {"a": ("closed", "locked"), "d": ("open",), "e": ("shut",)})
    assert net.names(open_vents(found, net)) == ("d",)
    assert net.names(start(found, net).off) == ("a",)

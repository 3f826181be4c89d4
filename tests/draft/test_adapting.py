"""Parts matched and ways found on random networks, held against brute force; where files name parts."""

from dataclasses import replace
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from proctool.draft.adapt.feeds import feeds
from proctool.draft.adapt.matching import matching
from proctool.draft.adapt.naming import Kind, anchor_at, places
from proctool.model.adapting import Ground
from proctool.network.isolate import isolators_of
from proctool.network.origins import targets_of
from proctool.network.reach import Network
from proctool.source.yamltree import parse
from tests.network.brute import Brute
from tests.network.build import unit
from tests.network.random_unit import random_unit

SEEDS = st.integers(0, 100_000)


def renamed(of, names):
    """The unit with other ids; what people read stays."""
    new = lambda name: names.get(name, name)  # noqa: E731
    parts = {
        new(p.id): replace(p, id=new(p.id), at=new(p.at) if p.at else None, near=tuple(map(new, p.near)))
        for p in of.parts.values()
    }
    lines = {line.id: replace(line, path=tuple(map(new, line.path))) for line in of.lines.values()}
    return replace(of, parts=parts, lines=lines)


@given(SEEDS, SEEDS)
@settings(max_examples=60, deadline=None)
def test_no_part_stands_for_two_and_roles_are_kept(one, other):
    source, target = random_unit(one)[0], random_unit(other)[0]
    found = matching(source, target, {})
    taken = [m.to for m in found.values() if m.to is not None]
    assert len(taken) == len(set(taken))
    assert all(source.parts[p].role is target.parts[m.to].role for p, m in found.items() if m.to is not None)
    assert all((m.ground is None) == (m.to is None) for m in found.values())
    assert all(m.to not in taken for m in found.values() if m.to is None)
    assert not any(set(m.candidates) & set(taken) for m in found.values())


@given(SEEDS)
@settings(max_examples=60, deadline=None)
def test_a_unit_stands_for_itself(seed):
    whole = random_unit(seed)[0]
    found = matching(whole, whole, {})
    assert all((m.to, m.ground) == (name, Ground.ID) for name, m in found.items())


@given(SEEDS, st.data())
@settings(max_examples=60, deadline=None)
def test_parts_with_other_ids_are_never_taken_for_others_by_name(seed, data):
    whole = random_unit(seed)[0]
    some = data.draw(st.sets(st.sampled_from(sorted(whole.parts))))
    names = {name: f"other_{name}" for name in some}
    found = matching(whole, renamed(whole, names), {})
    # Every part keeps its own name for people, which is unlike all others: that tells each one.
    assert all(found[name].to == names.get(name, name) for name in whole.parts)
    assert {name for name, m in found.items() if m.ground is Ground.NAME} == some


def test_place_tells_where_names_do_not():
    def house(a, b, c):
        parts = {"s": "source", "v": "isolator", a: "component", b: "component", c: "component"}
        return unit({"water": "liquid_pressure"}, parts, [f"water: s v {a} {b} {c}"])

    found = matching(house("a", "b", "c"), house("x", "y", "z"), {})
    assert {name: m.to for name, m in found.items()} == {"s": "s", "v": "v", "a": "x", "b": "y", "c": "z"}
    assert found["a"].ground is Ground.PLACE


def test_twins_are_open():
    def house(a, b):
        parts = {"s": "source", a: "component", b: "component"}
        return unit({"water": "liquid_pressure"}, parts, [f"water: s {a}", f"water: s {b}"])

    found = matching(house("a", "b"), house("x", "y"), {})
    assert [(found[n].to, found[n].candidates) for n in "ab"] == [(None, ("x", "y"))] * 2
    settled = matching(house("a", "b"), house("x", "y"), {"a": "y"})
    assert settled["a"].ground is Ground.ANSWER
    assert (settled["b"].to, settled["b"].ground) == ("x", Ground.PLACE)
    assert matching(house("a", "b"), house("x", "y"), {"a": "none"})["a"].to is None


@given(SEEDS, st.data())
@settings(max_examples=80, deadline=None)
def test_a_way_is_told_exactly_where_something_feeds(seed, data):
    """For each source by itself: brute force walks the lines without the network's reaches."""
    whole, parts, _ = random_unit(seed)
    network = Network(whole)
    needed = isolators_of(network, parts).isolators
    known = data.draw(st.sets(st.sampled_from(needed))) if needed else set()
    brute = Brute(whole)
    off = known | brute.normally_off
    expected = set()
    for energy, targets in targets_of(network, parts).items():
        names = set(network.names(targets))
        for source in whole.parts.values():
            feeding = source.role == "source" or (source.role == "outlet" and source.feeds_back)
            if feeding and network.on_line[energy] >> network.place[source.id] & 1:
                reached, front = {source.id}, [source.id]
                while front:
                    here = front.pop()
                    part = whole.parts[here]
                    stops = part.role in {"vent", "gauge"} or (part.role == "isolator" and here in off)
                    if here == source.id or not stops:
                        new = brute.next[energy][here] - reached
                        reached |= new
                        front += new
                if reached & names - {source.id}:
                    expected.add((energy, source.id))
    found = feeds(whole, parts, known, ())
    labels = {part.label: part.id for part in whole.parts.values()}
    told = set()
    for feed in found:
        path = [labels[label] for label in feed.told.partition(": ")[2].split(" → ")]
        assert path[-1] == feed.part
        assert all(b in brute.next[feed.energy][a] or whole.parts[b].at == a or whole.parts[a].at == b
                   for a, b in pairwise(path))  # fmt: skip
        assert not any(p in off for p in path[1:-1] if whole.parts[p].role == "isolator")
        if whole.parts[path[0]].role in {"source", "outlet"}:
            told.add((feed.energy, path[0]))
    assert told == expected


TEXT = """\
procedure: p
title: About P1
units: [F]
opens: [first, V2]
needs: {inlet: locked}
steps:
  - do: Unscrew the <first>.
    id: first
    after: [first]
    open: first
    note: >-
      Look at the <first.cartridge>
      and at P1.
  - each: {x: {isolators_of: opens}, y: [first]}
    also_off: timer
    steps:
      - {isolate: x, otherwise: {steps: [{close: second}], end_here: See P1.}}
  - fit: {part: first, what: cartridge}
"""


def test_every_place_that_can_name_a_part():
    root, _ = parse("p.yaml", TEXT.encode())
    assert root is not None
    found = [(p.scalar.text.split()[0], p.kind, p.anchor.span.line) for p in places(root)]
    names = [(text, line) for text, kind, line in found if kind is Kind.NAME]
    assert names == [
        ("first", 4),
        ("V2", 4),
        ("inlet", 5),
        ("first", 7),
        ("opens", 14),
        ("first", 14),
        ("timer", 14),
        ("x", 17),
        ("second", 17),
        ("first", 18),
    ]
    assert (
        ("About", Kind.TEXT, 2) in found
        and ("Look", Kind.TEXT, 7) in found
        and ("See", Kind.TEXT, 17) in found
    )
    assert not any(text == "first" and kind is Kind.TEXT for text, kind, _ in found)


def test_a_comment_never_goes_into_a_text():
    root, _ = parse("p.yaml", TEXT.encode())
    assert root is not None
    assert [anchor_at(root, line).span.line for line in (1, 4, 7, 12, 13, 16, 17, 18)] == [
        1,
        4,
        7,
        7,
        7,
        14,
        17,
        18,
    ]
    lines = TEXT.splitlines(keepends=True)
    for line in range(1, len(lines) + 1):
        place = anchor_at(root, line).span.line - 1
        commented = "".join([*lines[:place], "# a comment\n", *lines[place:]])
        again, faults = parse("p.yaml", commented.encode())
        assert again is not None and not faults
        assert [p.scalar.text for p in places(again)] == [p.scalar.text for p in places(root)]

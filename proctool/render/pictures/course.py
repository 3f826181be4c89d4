"""A step graph before it has places: steps that follow one another, what is free, what leads back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from proctool.model.plan import BackTo, Continue, EndHere, Frame, Otherwise, Plan, Step
from proctool.render.layout import Layout, lay_out
from proctool.render.order import Free, Tangled, free_of, pieces, reading_order
from proctool.render.prose import block
from proctool.render.speech import counted, say
from proctool.render.words import KINDS, capital, listed, numbers, ranges, repeated


@dataclass(frozen=True, slots=True)
class Node:
    """Steps that are done one after the other, by their places in the frame."""

    places: tuple[int, ...]
    title: str
    """The heading they stand under; may be empty."""
    notes: tuple[str, ...]
    """What follows where a check of them fails, and what a step is free of."""
    back: tuple[int, ...]
    """The first places of the nodes that a check of them leads back to."""


@dataclass(frozen=True, slots=True)
class Fork:
    """Tracks without an order among themselves."""

    tracks: tuple[tuple[Item, ...], ...]


Item: TypeAlias = Node | Fork


@dataclass(frozen=True, slots=True)
class Course:
    """The main steps of a plan."""

    items: tuple[Item, ...]
    layout: Layout
    frame: Frame
    titles: Mapping[int, tuple[str, ...]]
    """The headings on the page over each step."""
    again: Mapping[int, int]
    """For each step that is gone back to, the mask of all that is done again then."""

    def number(self, place: int) -> int:
        """The number of a step on the page."""
        return self.layout.rank[place] + 1

    def ranges(self, places: Sequence[int]) -> str:
        """Steps by their numbers, in words."""
        return ranges(self.number(place) for place in places)


def course(plan: Plan) -> Course:
    """What the step graph of a plan shows."""
    layout = lay_out(plan.frame, plan.unit.parts)
    titles = {slot.place: slot.titles for slot in layout.slots}
    bare = Course((), layout, plan.frame, titles, {})
    again: dict[int, int] = {}
    for step in plan.frame.steps:
        for _, ending in _endings(step.otherwise):
            if isinstance(ending, BackTo):
                first = _first(bare, ending)
                again[first] = again.get(first, ending.undone) & ending.undone
    maker = _Maker(bare, _targets(bare))
    return Course(maker.items(reading_order(plan.frame)), layout, plan.frame, titles, again)


def target(of: Course, place: int, items: Sequence[Item] | None = None) -> Item:
    """What a step that is gone back to stands for: the whole fork around it if all of that is done again."""
    for item in of.items if items is None else items:
        places = [p for node in nodes([item]) for p in node.places]
        if place not in places:
            continue
        if isinstance(item, Node) or all(of.again.get(place, 0) >> p & 1 for p in places):
            return item
        return target(of, place, [inner for track in item.tracks for inner in track])
    raise ValueError(f"step {place} stands in no node")


def within(items: Sequence[Item]) -> Iterator[Item]:
    """All nodes and forks, those of tracks too."""
    for item in items:
        yield item
        for track in item.tracks if isinstance(item, Fork) else ():
            yield from within(track)


def nodes(items: Sequence[Item]) -> Iterator[Node]:
    """All nodes, those of tracks too."""
    return (item for item in within(items) if isinstance(item, Node))


def _endings(otherwise: Otherwise | None) -> Iterator[tuple[Otherwise, Continue | EndHere | BackTo]]:
    """What a failing check leads to, one after the other as each going back has been done in vain."""
    while otherwise is not None:
        yield otherwise, otherwise.ending
        otherwise = otherwise.ending.then if isinstance(otherwise.ending, BackTo) else None


def _first(of: Course, ending: BackTo) -> int:
    """The first step on the page that is done again."""
    named = [
        place for place in of.layout.order if f"{of.frame.steps[place].id}/".startswith(f"{ending.target}/")
    ]
    undone = [place for place in of.layout.order if ending.undone >> place & 1]
    return (named or undone or list(of.layout.order))[0]


def _targets(of: Course) -> dict[int, tuple[int, ...]]:
    """For each step that leads back, the steps it leads back to."""
    found: dict[int, tuple[int, ...]] = {}
    for place, step in enumerate(of.frame.steps):
        backs = [_first(of, end) for _, end in _endings(step.otherwise) if isinstance(end, BackTo)]
        if backs:
            found[place] = tuple(dict.fromkeys(backs))
    return found


@dataclass(frozen=True, slots=True)
class _Maker:
    of: Course
    back: dict[int, tuple[int, ...]]

    def items(self, places: Sequence[int]) -> tuple[Item, ...]:
        """What follows one another: a node for steps under one heading, from what is gone back to on."""
        found: list[Item] = []
        run: list[int] = []
        starts = {target for targets in self.back.values() for target in targets}
        for piece in pieces(self.of.frame, places):
            if isinstance(piece, int):
                if run and (piece in starts or self._title(piece) != self._title(run[-1])):
                    found.append(self._node(run))
                    run = []
                run.append(piece)
                continue
            if run:
                found.append(self._node(run))
                run = []
            if isinstance(piece, Free):
                found.append(Fork(tuple(self.items(track) for track in piece.tracks)))
            elif isinstance(piece, Tangled):
                found.append(Fork(tuple((self._node([p], piece.places),) for p in piece.places)))
        return (*found, self._node(run)) if run else tuple(found)

    def _title(self, place: int) -> str:
        return " · ".join(self.of.titles[place])

    def _node(self, places: Sequence[int], among: Sequence[int] = ()) -> Node:
        outcomes: dict[str, list[int]] = {}
        for place in places:
            step = self.of.frame.steps[place]
            if step.otherwise is not None:
                outcomes.setdefault(self.outcome(step), []).append(place)
        notes = [
            say("{numbers} not OK: {so}", numbers=numbers(map(self.of.number, its)), so=said)
            for said, its in outcomes.items()
        ]
        loose = free_of(self.of.frame, places[0], among) if among else ()
        if loose:
            notes.insert(0, say("free of {steps}", steps=self.of.ranges(loose)))
        elif among:
            notes.insert(0, say("in its order"))
        back = dict.fromkeys(target for place in places for target in self.back.get(place, ()))
        return Node(tuple(places), self._title(places[0]), tuple(notes), tuple(back))

    def outcome(self, step: Step) -> str:
        """What follows where a step fails, in few words."""
        told = ""
        for otherwise, ending in _endings(step.otherwise):
            end = self._end(ending)
            if steps := len(otherwise.frame.steps):
                end = counted("{n} step more, {end}", "{n} steps more, {end}", steps, end=end)
            told = say("{first}, then {next}", first=told, next=end) if told else end
        return told

    def _end(self, ending: Continue | EndHere | BackTo) -> str:
        """Where work goes on after the steps of a failed check."""
        if isinstance(ending, Continue):
            return say("go on")
        if not isinstance(ending, BackTo):
            return say("stop")
        first = self.of.number(_first(self.of, ending))
        if ending.at_most is None:
            return say("back to {number}", number=first)
        times = repeated(ending.at_most)
        if ending.then is None:
            return say("back to {number}, at most {times}, then stop", number=first, times=times)
        return say("back to {number}, at most {times}", number=first, times=times)


def entries(of: Course) -> tuple[str, ...]:
    """Each step in words: its number and kind, what it is free of, where it leads when it fails."""
    maker = _Maker(of, {})
    found = []
    everywhere = list(of.layout.order)
    for place in of.layout.order:
        step = of.frame.steps[place]
        said = [str(block(step.text).striptags())]
        if step.kind in KINDS:
            said.insert(0, say("{kind}.", kind=say(KINDS[step.kind])))
        if loose := free_of(of.frame, place, everywhere):
            said.append(say("Before or after {steps}.", steps=of.ranges(loose)))
        if step.otherwise is not None:
            said.append(say("Not OK: {so}.", so=maker.outcome(step)))
        found.append(f"{of.number(place)}: {' '.join(said)}")
    return tuple(found)


def summary(of: Course) -> str:
    """How many steps are free, and which lead back."""
    free = [place for place in of.layout.order if free_of(of.frame, place, of.layout.order)]
    back = [place for place in of.layout.order if place in _targets(of)]
    order = (
        say("{steps} have an order that is partly free", steps=capital(of.ranges(free)))
        if free
        else say("Every step has its place")
    )
    leads = say("{steps} can lead back", steps=of.ranges(back)) if back else say("no check leads back")
    return say("{told}.", told=listed((order, leads)))

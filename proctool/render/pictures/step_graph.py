"""The step graph drawn: what follows what, what is free, and where checks lead back.

Boxes joined by arrows follow one another. Boxes in one dashed frame have no order among themselves. A line at
the right leads from a check that fails back to what is done again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from proctool.model.plan import Plan
from proctool.render.pictures.course import (
    Course,
    Fork,
    Item,
    Node,
    course,
    entries,
    nodes,
    summary,
    target,
    within,
)
from proctool.render.pictures.picture import PAGE, Box, Group, Mark, Path, Picture, Rect, lines, path, tall
from proctool.render.pictures.text import wrap
from proctool.render.speech import fixed, say
from proctool.render.words import capital

_SIZE, _SMALL = 10.5, 9.5
_PAD = 6.0
_ARROW = 18.0
"""Between two boxes that follow one another."""
_BETWEEN = 10.0
"""Between two tracks."""
_WIDEST, _NARROWEST = 300.0, 120.0
"""Of a box."""
_LANE = 12.0
FREE = fixed("in any order")


def step_graph(plan: Plan, *, width: float = PAGE) -> Picture:
    """The graph of the main steps of a plan, `width` wide; steps are numbered as on the page."""
    of = course(plan)
    spans = _lanes(of)
    room = width - (2 * _LANE + _LANE * max(spans.values(), default=0) if spans else 2)
    artist = _Artist(of)
    bottom = artist.column(of.items, 1, 2, room - 2)
    return Picture(
        kind="step-graph",
        title=say("Order of the steps of {title} on {unit}", title=plan.title, unit=plan.unit.id),
        told=say(
            "From top to bottom; boxes joined by arrows follow one another, those in a dashed frame are done "
            "in any order. {summary}",
            summary=summary(of),
        ),
        entries=entries(of),
        width=width,
        height=bottom + 4,
        marks=(*artist.marks, *artist.backs(spans, room)),
    )


def _lanes(of: Course) -> dict[int, int]:
    """For each place that something leads back to, the lane its line runs in: the longest line outermost."""
    found: dict[int, int] = {}
    whole: dict[int, tuple[int, int]] = {}
    for node in nodes(of.items):
        for place in node.back:
            ends = (of.number(place), of.number(node.places[-1]), *whole.get(place, ()))
            whole[place] = (min(ends), max(ends))
    for place in sorted(whole, key=lambda p: (whole[p][1] - whole[p][0], p)):
        low, high = whole[place]
        taken = {found[other] for other in found if whole[other][0] <= high and low <= whole[other][1]}
        found[place] = next(lane for lane in range(1, len(whole) + 1) if lane not in taken)
    return found


@dataclass(slots=True)
class _Artist:
    of: Course
    marks: list[Mark] = field(default_factory=list)
    boxes: dict[Item, Box] = field(default_factory=dict)

    def column(self, items: Sequence[Item], x: float, top: float, width: float) -> float:
        """Draw what follows one another; where it ends below."""
        at = top
        for place, item in enumerate(items):
            if place:
                self._arrow(x + width / 2, at, at + _ARROW)
                at += _ARROW
            at = self._node(item, x, at, width) if isinstance(item, Node) else self._fork(item, x, at, width)
        return at

    def _arrow(self, x: float, top: float, bottom: float) -> None:
        head = path((x - 4, bottom - 6), (x, bottom - 1), (x + 4, bottom - 6))
        self.marks.append(Path(f"{path((x, top), (x, bottom - 1))} {head}", "stroke"))

    def _node(self, node: Node, x: float, top: float, width: float) -> float:
        wide = min(width, _WIDEST)
        left, room = x + (width - wide) / 2, wide - 2 * _PAD
        head = wrap(capital(self.of.ranges(node.places)), room, _SIZE, bold=True)
        title = wrap(node.title, room, _SIZE)
        notes = [wrap(note, room, _SMALL) for note in node.notes]
        height = (
            tall(len(head), _SIZE) + tall(len(title), _SIZE) + sum(tall(len(n), _SMALL) + 2 for n in notes)
        )
        box = Box(left, top, left + wide, top + height + 2 * _PAD)
        at = top + _PAD
        marks: list[Mark] = [Rect(left, top, wide, box.bottom - top, "body", 3)]
        marks += lines(head, left + _PAD, at, _SIZE, anchor="start", bold=True)
        at += tall(len(head), _SIZE)
        marks += lines(title, left + _PAD, at, _SIZE, anchor="start")
        at += tall(len(title), _SIZE)
        for note in notes:
            marks += lines(note, left + _PAD, at + 2, _SMALL, anchor="start", paint="text-soft")
            at += tall(len(note), _SMALL) + 2
        self.boxes[node] = box
        steps = " ".join(self.of.frame.steps[place].id for place in node.places)
        self.marks.append(Group("steps", tuple(marks), (("steps", steps),)))
        return box.bottom

    def _fork(self, fork: Fork, x: float, top: float, width: float) -> float:
        """Tracks in a dashed frame: side by side where there is room and no line leads out to the right."""
        inner = width - 2 * _PAD
        texts = wrap(say(FREE), inner - 4, _SMALL, bold=True)
        start = top + _PAD + tall(len(texts), _SMALL) + 4
        ends = {id(target(self.of, place)) for place in self.of.again}
        inside = [item for track in fork.tracks for item in within(track)]
        tied = any(id(item) in ends or (isinstance(item, Node) and item.back) for item in inside)
        fit = int((inner + _BETWEEN) // (_NARROWEST + _BETWEEN))
        across = 1 if tied else max(1, min(len(fork.tracks), fit))
        wide = (inner - _BETWEEN * (across - 1)) / across
        frame_at = len(self.marks)
        at = start
        for first in range(0, len(fork.tracks), across):
            ends_at = [
                self.column(track, x + _PAD + n * (wide + _BETWEEN), at, wide)
                for n, track in enumerate(fork.tracks[first : first + across])
            ]
            at = max(ends_at) + _BETWEEN
        bottom = at - _BETWEEN + _PAD
        self.boxes[fork] = Box(x, top, x + width, bottom)
        frame = Rect(x, top, width, bottom - top, "frame", 6)
        label = lines(texts, x + _PAD + 2, top + 4, _SMALL, anchor="start", bold=True)
        self.marks[frame_at:frame_at] = [frame, *label]
        return bottom

    def backs(self, lane: dict[int, int], room: float) -> list[Mark]:
        """The lines that lead back, with an arrow head where each arrives."""
        found: list[Mark] = []
        for place, number in lane.items():
            x = room + number * _LANE
            end = self.boxes[target(self.of, place)]
            into = end.top + 9
            pieces = [path((x, into), (end.right + 1, into))]
            heights = [into]
            for item, box in self.boxes.items():
                if isinstance(item, Node) and place in item.back:
                    at = box.bottom - 7 - 4 * item.back.index(place)
                    heights.append(at)
                    pieces.append(path((box.right, at), (x, at)))
            pieces.append(path((x, min(heights)), (x, max(heights))))
            pieces.append(path((end.right + 7, into - 4), (end.right + 1, into), (end.right + 7, into + 4)))
            named = (("to", self.of.frame.steps[place].id),)
            found.append(Group("back", (Path(" ".join(pieces), "stroke"),), named))
        return found

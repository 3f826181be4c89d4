"""How a picture looks, told from its marks: which texts meet something, which wires lie on one another."""

from __future__ import annotations

import re
from collections.abc import Iterator

from proctool.render.pictures.picture import Box, Circle, Group, Label, Mark, Path, Picture, Rect, every

_POINT = re.compile(r"([MLZ])\s*(?:(-?[\d.]+) (-?[\d.]+))?")
Segment = tuple[float, float, float, float]


def labels(picture: Picture) -> list[Label]:
    return [mark for mark in every(shown(picture.marks)) if isinstance(mark, Label)]


def shown(marks) -> tuple[Mark, ...]:
    """The marks without the signs of states, each of which is one shape, and without what is hidden."""
    found: list[Mark] = []
    for mark in marks:
        if isinstance(mark, Group):
            if not mark.hidden and mark.name not in {"state", "sign"}:
                found.append(Group(mark.name, shown(mark.marks), mark.data))
        else:
            found.append(mark)
    return tuple(found)


def segments(data: str) -> list[Segment]:
    """The straight stretches of path data; curves, all of them inside a symbol, are left out."""
    found: list[Segment] = []
    start = at = (0.0, 0.0)
    for kind, x, y in _POINT.findall(data):
        if kind == "Z":
            found.append((*at, *start))
            at = start
            continue
        here = (float(x), float(y))
        if kind == "M":
            start = here
        else:
            found.append((*at, *here))
        at = here
    return found


def meets(one: Box, other: Box) -> bool:
    """Whether two rectangles share an area that one could see."""
    across = min(one.right, other.right) - max(one.left, other.left)
    return across > 0.01 and min(one.bottom, other.bottom) - max(one.top, other.top) > 0.01


def touches(box: Box, segment: Segment) -> bool:
    """Whether a stretch runs through a rectangle (Liang and Barsky's clipping)."""
    x1, y1, x2, y2 = segment
    low, high = 0.0, 1.0
    for p, q in (
        (x1 - x2, x1 - box.left),
        (x2 - x1, box.right - x1),
        (y1 - y2, y1 - box.top),
        (y2 - y1, box.bottom - y1),
    ):
        if p == 0:
            if q <= 0:
                return False
        elif p < 0:
            low = max(low, q / p)
        else:
            high = min(high, q / p)
    return low < high


def faults(picture: Picture) -> list[str]:
    """Every text that meets another text or a shape that does not hold it, or that leaves the picture."""
    every_label = labels(picture)
    found: list[str] = []
    for n, label in enumerate(every_label):
        box = label.box
        if (
            box.left < -0.5
            or box.right > picture.width + 0.5
            or box.top < -0.5
            or box.bottom > picture.height + 0.5
        ):
            found.append(f"{label.text!r} leaves the picture")
        found += [
            f"{label.text!r} meets {other.text!r}" for other in every_label[n + 1 :] if meets(box, other.box)
        ]
        found += [f"{label.text!r} meets {shape}" for shape in _shapes(picture) if _meets(box, shape)]
    return found


def _shapes(picture: Picture) -> Iterator[Rect | Circle | Path]:
    for mark in every(shown(picture.marks)):
        if isinstance(mark, Rect | Circle | Path):
            yield mark


def _meets(box: Box, shape: Rect | Circle | Path) -> bool:
    if isinstance(shape, Path):
        return any(touches(box, segment) for segment in segments(shape.data))
    if isinstance(shape, Rect):
        its = Box(shape.x, shape.y, shape.x + shape.width, shape.y + shape.height)
    else:
        r = shape.radius
        its = Box(shape.x - r, shape.y - r, shape.x + r, shape.y + r)
    inside = (
        its.left <= box.left and box.right <= its.right and its.top <= box.top and box.bottom <= its.bottom
    )
    return meets(its, box) and not inside


def wires(picture: Picture) -> list[tuple[str, frozenset[str], list[Segment]]]:
    """Energy, what it joins, and the stretches of each wire of an energy diagram."""
    found = []
    for mark in every(picture.marks):
        if isinstance(mark, Group) and mark.name == "wire":
            data = dict(mark.data)
            pieces = [s for path in mark.marks if isinstance(path, Path) for s in segments(path.data)]
            found.append((data["energy"], frozenset(data["joins"].split()), pieces))
    return found


def laid_on(one: Segment, other: Segment) -> bool:
    """Whether two stretches, both level or both upright, share more than a point."""
    for a, b in ((0, 1), (1, 0)):
        if one[a] == one[a + 2] == other[a] == other[a + 2]:
            low = max(min(one[b], one[b + 2]), min(other[b], other[b + 2]))
            high = min(max(one[b], one[b + 2]), max(other[b], other[b + 2]))
            return high - low > 0.05
    return False


def meet(one: Segment, other: Segment) -> bool:
    """Whether an end of one of two level or upright stretches lies on the other."""
    return any(_on(end, other) for end in (one[:2], one[2:])) or any(
        _on(e, one) for e in (other[:2], other[2:])
    )


def _on(point: tuple[float, ...], segment: Segment) -> bool:
    (x, y), (x1, y1, x2, y2) = point, segment
    return min(x1, x2) <= x <= max(x1, x2) and min(y1, y2) <= y <= max(y1, y2)

"""How a partial order of steps is laid out on a page: one after the other, free parts named as such.

The steps are listed in one order that the graph allows (the file's wherever it does). Where the list can be
cut so that all steps above the cut come before all below it, it is cut. Between two cuts, steps that no chain
of order joins are *tracks*: free against each other. What is neither ordered nor splits into tracks is
*tangled*: each of its steps names those it is free against.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from proctool.model.plan import Frame


@dataclass(frozen=True, slots=True)
class Free:
    """Tracks without an order among themselves, each a list of places."""

    tracks: tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Tangled:
    """Steps partly ordered in a way that tracks cannot say."""

    places: tuple[int, ...]


Piece = int | Free | Tangled
"""A step alone between two cuts, or what is free there."""


def reading_order(frame: Frame) -> tuple[int, ...]:
    """The places in an order that the graph allows, the file's order wherever it does.

    Steps on a cycle (the plan of a draft may hold one) come last, in file order.
    """
    done, order, left = 0, [], list(range(len(frame.steps)))
    while left:
        place = next((i for i in left if not frame.before[i] & ~done), left[0])
        left.remove(place)
        order.append(place)
        done |= 1 << place
    return tuple(order)


def ordered(frame: Frame, a: int, b: int) -> bool:
    """Whether one of two steps comes before the other in every order."""
    return bool(frame.before[a] >> b & 1 or frame.before[b] >> a & 1)


def pieces(frame: Frame, places: Sequence[int]) -> tuple[Piece, ...]:
    """Steps, listed in reading order, cut into pieces that follow one another."""
    found: list[Piece] = []
    start = 0
    for end in range(1, len(places) + 1):
        above = sum(1 << i for i in places[:end])
        if all(frame.before[i] & above == above for i in places[end:]):
            found.append(_piece(frame, places[start:end]))
            start = end
    return tuple(found)


def _piece(frame: Frame, places: Sequence[int]) -> Piece:
    if len(places) == 1:
        return places[0]
    tracks: list[list[int]] = []
    for place in places:
        joined = [t for t in tracks if any(ordered(frame, place, other) for other in t)]
        tracks = [t for t in tracks if t not in joined]
        tracks.append([*(i for t in joined for i in t), place])
    if len(tracks) == 1:
        return Tangled(tuple(places))
    rank = {place: n for n, place in enumerate(places)}
    sorted_tracks = (tuple(sorted(t, key=rank.__getitem__)) for t in tracks)
    return Free(tuple(sorted(sorted_tracks, key=lambda t: rank[t[0]])))


def free_of(frame: Frame, place: int, among: Iterable[int]) -> tuple[int, ...]:
    """The steps among some that may come before or after the one at `place`."""
    return tuple(i for i in among if i != place and not ordered(frame, place, i))

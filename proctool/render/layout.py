"""The place of each step on the page: its rank, its headings, and what is said of a free order."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from proctool.model.plan import Frame
from proctool.model.unit import Part
from proctool.render import words
from proctool.render.order import Free, Tangled, free_of, pieces, reading_order
from proctool.render.speech import say


@dataclass(frozen=True, slots=True)
class Note:
    """Which tracks are free against each other, and what each is called."""

    tracks: tuple[tuple[int, ...], ...]
    names: tuple[str, ...]
    depth: int
    """How many headings stand above the note."""

    def said(self, ranges: Callable[[Sequence[int]], str]) -> str:
        """The note in words; `ranges` says step numbers."""
        if all(len(track) == 1 for track in self.tracks):
            every = ranges([i for track in self.tracks for i in track])
            return words.capital(say("{steps}: in any order.", steps=every))
        tracks = (
            say("{steps} ({name})", steps=ranges(track), name=name) if name else ranges(track)
            for track, name in zip(self.tracks, self.names, strict=True)
        )
        return words.capital(
            say(
                "{tracks}: either first, or turn about. Keep the order inside each.",
                tracks=words.listed(tracks),
            )
        )


@dataclass(frozen=True, slots=True)
class Slot:
    """One step's place."""

    place: int
    titles: tuple[str, ...]
    notes: tuple[Note, ...]
    free: bool
    loose: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Layout:
    """All steps of a frame in the order of the page."""

    slots: tuple[Slot, ...]
    order: tuple[int, ...]
    rank: Mapping[int, int]
    """Number less one of each step."""


@dataclass(slots=True)
class _Pen:
    frame: Frame
    parts: Mapping[str, Part]
    slots: list[Slot] = field(default_factory=list)

    def write(
        self,
        places: Sequence[int],
        inserts: tuple[tuple[int, str], ...],
        notes: tuple[Note, ...],
        *,
        free: bool,
    ) -> None:
        for piece in pieces(self.frame, places):
            if isinstance(piece, Free):
                self._tracks(piece, inserts, notes)
            elif isinstance(piece, Tangled):
                for place in piece.places:
                    self._slot(
                        place, inserts, notes, free=True, loose=free_of(self.frame, place, piece.places)
                    )
                    notes = ()
            else:
                self._slot(piece, inserts, notes, free=free, loose=())
            notes = ()

    def _slot(
        self,
        place: int,
        inserts: tuple[tuple[int, str], ...],
        notes: tuple[Note, ...],
        *,
        free: bool,
        loose: tuple[int, ...],
    ) -> None:
        titles = list(self.frame.steps[place].heading)
        for depth, title in reversed(inserts):
            titles.insert(depth, title)
        self.slots.append(Slot(place, tuple(titles), notes, free, loose))

    def _tracks(self, piece: Free, inserts: tuple[tuple[int, str], ...], notes: tuple[Note, ...]) -> None:
        headings = [[self.frame.steps[i].heading for i in track] for track in piece.tracks]
        shared = len(_common([h for track in headings for h in track]))
        own = [_common(track)[shared : shared + 1] for track in headings]
        told = all(own) and len(set(own)) == len(own)
        names = tuple(
            o[0] if told else self._name(track, piece) for o, track in zip(own, piece.tracks, strict=True)
        )
        here = (*notes, Note(piece.tracks, names, shared + len(inserts)))
        single = all(len(track) == 1 for track in piece.tracks)
        for track, name in zip(piece.tracks, names, strict=True):
            title = () if told or single or not name else ((shared, words.capital(name)),)
            self.write(track, (*inserts, *title), here, free=True)
            here = ()

    def _name(self, track: Sequence[int], piece: Free) -> str:
        """The parts a track is for: copies of an `each` carry them in their path ids."""
        all_paths = [tuple(self.frame.steps[i].id.split("/")) for t in piece.tracks for i in t]
        path = _common([tuple(self.frame.steps[i].id.split("/")) for i in track])[len(_common(all_paths)) :]
        for name in path[:1]:
            if name in self.parts:
                return self.parts[name].name
            both = name.split("-")
            if all(one in self.parts for one in both):
                return words.listed(self.parts[one].name for one in both)
        return ""


def _common(paths: Sequence[tuple[str, ...]]) -> tuple[str, ...]:
    first = paths[0]
    for n, segment in enumerate(first):
        if any(len(path) <= n or path[n] != segment for path in paths):
            return first[:n]
    return first


def lay_out(frame: Frame, parts: Mapping[str, Part], first: int = 0) -> Layout:
    """The layout of a frame; its numbers go on after `first`."""
    pen = _Pen(frame, parts)
    if frame.steps:
        pen.write(reading_order(frame), (), (), free=False)
    order = tuple(slot.place for slot in pen.slots)
    return Layout(tuple(pen.slots), order, {place: first + n for n, place in enumerate(order)})

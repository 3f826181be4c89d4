"""Which step of one plan is which of another: by id, then by what is done and said."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Hashable, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import replace
from difflib import SequenceMatcher

from proctool.model.comparison import Pair
from proctool.model.plan import Step

_NEAR = 0.75
"""Share of a text that must be the same for two steps without an act to be one."""

Couple = tuple[int, int]


def couples(old: Sequence[Step], new: Sequence[Step], same: ReadOnly[str, str]) -> tuple[Couple, ...]:
    """Places of steps that are one, by their places in the first.

    `same` says which part of the first stands for which of the second; others keep their name. Steps are one
    if they carry the same id; of the rest if they do and say the same, then if they do the same acts, then if
    they do nothing to any part and say nearly the same; each only where there is one such step on both sides,
    so that nothing is coupled by chance.
    """
    ids = [translated(step.id, same) for step in old]
    found = _by(dict(enumerate(ids)), {j: step.id for j, step in enumerate(new)})

    for key in (_done_and_said, _done):
        left, right = _left(len(old), found, 0), _left(len(new), found, 1)
        one = {i: key(old[i], same) for i in left}
        other = {j: key(new[j], {}) for j in right}
        found += _by(one, other)
    found += _near(old, new, _left(len(old), found, 0), _left(len(new), found, 1))
    return tuple(sorted(found))


def _done(step: Step, names: ReadOnly[str, str]) -> tuple[Hashable, ...] | None:
    """The acts of a step; None where it has none."""
    return tuple((a.verb, names.get(a.part, a.part), a.energy, a.what) for a in step.acts) or None


def _done_and_said(step: Step, names: ReadOnly[str, str]) -> tuple[Hashable, ...]:
    return step.kind, step.text, _done(step, names)


def translated(step: str, same: ReadOnly[str, str]) -> str:
    """A step's id as it would be with other parts: `make-safe/inlet_valve/isolate-device`."""
    return "/".join(same.get(piece, _ending(piece, same)) for piece in step.split("/"))


def _ending(piece: str, same: ReadOnly[str, str]) -> str:
    head, dash, part = piece.rpartition("-")
    return f"{head}-{same[part]}" if dash and part in same else piece


def _left(many: int, found: Sequence[Couple], side: int) -> list[int]:
    taken = {couple[side] for couple in found}
    return [i for i in range(many) if i not in taken]


def _by(old: ReadOnly[int, Hashable], new: ReadOnly[int, Hashable]) -> list[Couple]:
    """Couples of places with one key that stands once on either side; None is no key."""
    places: dict[Hashable, tuple[list[int], list[int]]] = {}
    for side, keys in enumerate((old, new)):
        for place, key in keys.items():
            places.setdefault(key, ([], []))[side].append(place)
    return [(a[0], b[0]) for key, (a, b) in places.items() if key is not None and len(a) == len(b) == 1]


def _near(
    old: Sequence[Step], new: Sequence[Step], left: Sequence[int], right: Sequence[int]
) -> list[Couple]:
    """Steps without an act that say nearly the same, each the nearest of the other."""
    silent, others = [i for i in left if not old[i].acts], [j for j in right if not new[j].acts]

    def share(i: int, j: int) -> float:
        return SequenceMatcher(None, old[i].text, new[j].text, autojunk=False).ratio()

    near = {(i, j): r for i in silent for j in others if (r := share(i, j)) >= _NEAR}
    best_of = {i: max((j for a, j in near if a == i), key=lambda j: (near[i, j], -j)) for i, _ in near}
    best_for = {j: max((i for i, b in near if b == j), key=lambda i: (near[i, j], -i)) for _, j in near}
    return [(i, j) for i, j in best_of.items() if best_for[j] == i]


def pairs(old: int, new: int, coupled: Sequence[Couple]) -> tuple[Pair, ...]:
    """Every step once: the second's in file order, and those of the first alone after what they stood behind.

    Moved are the fewest steps without which those of both stand in the same order on both sides.
    """
    partner = {j: i for i, j in coupled}
    still = _longest_rising([i for i, _ in sorted(coupled, key=lambda couple: couple[1])])
    rows = [Pair(partner.get(j), j, moved=j in partner and partner[j] not in still) for j in range(new)]
    after = 0
    stood = {i for i, _ in coupled}
    for i in range(old):
        if i in still:
            after = next(n for n, row in enumerate(rows) if row.was == i and row.now is not None) + 1
        elif i not in stood:
            rows.insert(after, Pair(i, None))
            after += 1
    return tuple(rows)


def with_differences(pair: Pair, of: Callable[[int, int], Pair]) -> Pair:
    """A pair of both sides with what differs; one of a single side as it is."""
    if pair.was is None or pair.now is None:
        return pair
    return replace(of(pair.was, pair.now), moved=pair.moved)


def _longest_rising(values: Sequence[int]) -> frozenset[int]:
    """A longest rising subsequence of distinct numbers.

    Patience sorting (Fredman 1975): n log n. The first of several is not defined, but always the same.
    """
    tops: list[int] = []
    at: list[int] = []
    before: dict[int, int | None] = {}
    for place, value in enumerate(values):
        pile = bisect_left(tops, value)
        before[place] = at[pile - 1] if pile else None
        tops[pile : pile + 1] = [value]
        at[pile : pile + 1] = [place]
    found: set[int] = set()
    here = at[-1] if at else None
    while here is not None:
        found.add(values[here])
        here = before[here]
    return frozenset(found)

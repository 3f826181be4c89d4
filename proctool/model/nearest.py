"""The nearest right name for one that was written wrong."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

_LONGEST = 80
"""Longer words are no slips of the pen; comparing them would only cost time."""


_ALIKE = 0.7
"""Share of letters in common from which other words are taken for near: `energy` and `energies`."""


def distance(a: str, b: str) -> int:
    """How many slips turn `a` into `b`: a letter too many, one missing, one wrong, two neighbours swapped.

    The optimal string alignment distance (Damerau 1964; Levenshtein 1966). Cost: len(a) times len(b).

    >>> distance("isolat", "isolate"), distance("tighetn", "tighten")
    (1, 1)
    """
    before: list[int] = []
    above = list(range(len(b) + 1))
    for i, left in enumerate(a, start=1):
        row = [i]
        for j, right in enumerate(b, start=1):
            cost = min(above[j] + 1, row[j - 1] + 1, above[j - 1] + (left != right))
            if i > 1 and j > 1 and left == b[j - 2] and a[i - 2] == right:
                cost = min(cost, before[j - 2] + 1)
            row.append(cost)
        before, above = above, row
    return above[-1]


def folded(word: str) -> str:
    """The word as it is compared: case does not count, and `-`, `_` and blanks are the same."""
    return word.casefold().replace("-", "_").replace(" ", "_")


def nearest(word: str, candidates: Iterable[str]) -> str | None:
    """The candidate that `word` was most likely meant to be, or None where none is near.

    At most one slip in three letters. Ties go to the same first letter, then to the alphabet, so that the
    order of the candidates never counts. A word that is a whole piece of one candidate only (`inlet` for
    `inlet_valve`) is near too.
    """
    sought = folded(word)
    if not sought or len(sought) > _LONGEST:
        return None
    known = sorted({c for c in candidates if 0 < len(c) <= _LONGEST})
    allowed = max(1, len(sought) // 3)
    ranked = []
    for candidate in known:
        other = folded(candidate)
        if abs(len(other) - len(sought)) <= allowed:
            slips = distance(sought, other)
            if slips <= allowed and slips < max(len(sought), len(other)):
                ranked.append((slips, other[0] != sought[0], candidate))
    if ranked:
        return min(ranked)[2]
    alike = get_close_matches(sought, [folded(c) for c in known], n=1, cutoff=_ALIKE)
    if alike:
        return next(c for c in known if folded(c) == alike[0])
    whole = [c for c in known if sought in folded(c).split("_")]
    return whole[0] if len(whole) == 1 else None


def did_you_mean(word: str, candidates: Iterable[str]) -> str:
    """A sentence to hang on a message: ` Did you mean `x`?`, or nothing."""
    found = nearest(word, candidates)
    return f" Did you mean `{found}`?" if found else ""

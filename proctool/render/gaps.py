"""The gaps of an audit, each told once with all the places that have it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a gap is: a link to its row, or to the case."""

    target: str
    about: str
    steps: str


@dataclass(frozen=True, slots=True)
class Gap:
    """One gap, by the cases that have it: what is wrong in a shared block is told once."""

    said: str
    cases: tuple[tuple[str, tuple[Spot, ...]], ...]

    @property
    def many(self) -> int:
        """How many places have it."""
        return sum(len(spots) for _, spots in self.cases)


def gathered(found: Iterable[tuple[str, str, Spot]]) -> tuple[Gap, ...]:
    """Gaps from (case, what is wrong, where), in the order in which each is first met."""
    gaps: dict[str, dict[str, list[Spot]]] = {}
    for case, said, spot in found:
        gaps.setdefault(said, {}).setdefault(case, []).append(spot)
    return tuple(
        Gap(said, tuple((case, tuple(spots)) for case, spots in cases.items()))
        for said, cases in gaps.items()
    )

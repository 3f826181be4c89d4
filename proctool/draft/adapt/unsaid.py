"""Properties by which steps pick isolators, where the other unit does not say them of its own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from proctool.model.procedure import Entry
from proctool.model.unit import Part
from proctool.model.written import every_entry
from proctool.resolve.fitting import property_of
from proctool.resolve.scope import names_in


@dataclass(frozen=True, slots=True)
class Pick:
    """Steps that are only for parts with some value of a property."""

    key: str
    value: str
    steps: str
    """What they are called, or where they stand."""


@dataclass(frozen=True, slots=True)
class Unsaid:
    """An isolator that does not say a property, and the steps that ask for it."""

    part: Part
    key: str
    picks: tuple[Pick, ...]

    @property
    def told(self) -> str:
        """Which value makes which steps take a part, such as `true`: refill, supply; `false`: join."""
        by_value: dict[str, dict[str, None]] = {}
        for pick in self.picks:
            by_value.setdefault(pick.value, {})[pick.steps] = None
        return "; ".join(f"`{value}`: {', '.join(steps)}" for value, steps in by_value.items())


def unsaid(entries: Iterable[Entry], before: Iterable[Part], now: Iterable[Part]) -> Iterator[Unsaid]:
    """What is not said of the isolators that are off `now`, and is said of those `before` of the same kind.

    An `only` leaves out a part that does not say the property, so one block would shut a valve that no other
    opens again.
    """
    picks = tuple(_picks(entries))
    keys = dict.fromkeys(pick.key for pick in picks)
    said = {(part.device, key) for part in before for key in keys if property_of(part, key)}
    for part in now:
        for key in keys:
            if (part.device, key) in said and not property_of(part, key):
                yield Unsaid(part, key, tuple(pick for pick in picks if pick.key == key))


def _picks(entries: Iterable[Entry]) -> Iterator[Pick]:
    for entry in every_entry(entries):
        for key, value in entry.only or ():
            steps = f"`{entry.id.text}`" if entry.id is not None else f"{key.span.file}:{key.span.line}"
            yield from (Pick(key.text, word.text, steps) for word in names_in(value))

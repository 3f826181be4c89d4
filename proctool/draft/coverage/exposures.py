"""The rows of a coverage: which energies people meet at a part that is opened, uncovered, or beside one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from proctool.model.plan import Step
from proctool.network.reach import bits
from proctool.prove.setup import Setup
from proctool.prove.state import State

EXPOSING = frozenset({"open", "uncover"})
"""Acts that bring a person to what a part holds."""


class Key(NamedTuple):
    """A row: where the part stands, its energy, and the wet part that it stands beside, or -1."""

    place: int
    carrier: int
    beside: int = -1


def keys(setup: Setup, steps: Iterable[Step]) -> dict[Key, list[str]]:
    """Every row of a plan with the steps that expose its part, in file order; none where it is found so."""
    found: dict[Key, list[str]] = {}
    for part, words in setup.plan.starts.items():
        place = setup.network.place[part]
        if "open" in words and setup.network.parts[place].holder:  # of a device it is a position
            found.update((key, []) for key in at(setup, place, "open"))
        if "uncovered" in words:
            found.update((key, []) for key in at(setup, place, "uncover"))
    for step in steps:
        for act in step.acts:
            for key in at(setup, setup.network.place[act.part], act.verb) if act.verb in EXPOSING else ():
                found.setdefault(key, []).append(step.id)
    return {key: found[key] for key in sorted(found)}


def at(setup: Setup, place: int, verb: str) -> Iterator[Key]:
    """The rows that concern a part which an act exposes: a cover keeps electricity only.

    Beside a wet part that is opened stands the electricity of what is near it.
    """
    for carrier in setup.of_part[place] if verb == "open" else setup.electric:
        if carrier.on_line >> place & 1:
            yield Key(place, carrier.index)
    if verb == "open" and setup.wetting >> place & 1:
        for near in bits(setup.near[place]):
            yield from (Key(near, c.index, place) for c in setup.electric if c.on_line >> near & 1)


def standing(setup: Setup, state: State) -> Iterator[Key]:
    """The rows whose parts are exposed at a moment."""
    for place in bits(state.opened):
        yield from at(setup, place, "open")
    for place in bits(state.uncovered & ~state.opened):
        yield from at(setup, place, "uncover")

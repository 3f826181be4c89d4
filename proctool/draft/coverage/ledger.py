"""Who set what last: a set of steps for each device, debt and proof of a unit, packed into one number.

A ledger has a lane of bits for each thing that can be set; the first bit of a lane stands for "so as found",
the others for the steps. Joining ledgers is one `or`, and what an act does to one is a few masks. It does so
to each lane by itself and to each bit of a lane by itself, so nothing is lost where runs are joined.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from proctool.model.plan import Act, Step
from proctool.network.reach import bits
from proctool.prove.setup import Setup
from proctool.prove.state import State

Thing = tuple[str, int, int]
"""What can be set: a field of the state, the energy's place (0 where it is of none), the part's place."""

_CONFIRMS = {"isolate": "position", "lock": "locked", "vent": "vented", "verify_zero": "proven"}
"""Acts that somebody also does to what is so as found: then it counts as done by that step."""
_OF_PARTS = ("locked", "vented", "opened", "owed")
_OF_ENERGIES = ("discharged", "proven")


class Change(NamedTuple):
    """What a step, or the first acts of one, does to a ledger."""

    kill: int = 0
    """Lanes that are emptied."""
    gen: int = 0
    """The step's own bits in them."""
    confirm: int = 0
    """First bits of lanes, "so as found", in whose stead the step is put where they are set."""
    shift: int = 0
    """The place of the step's bit in a lane."""

    def on(self, ledger: int) -> int:
        """The ledger after it."""
        found = ledger & self.confirm
        return ledger & ~(self.kill | found) | found << self.shift | self.gen

    def then(self, after: Change) -> Change:
        """This one and then another of the same step."""
        kill, gen = self.kill | after.kill, self.gen & ~after.kill | after.gen
        return Change(kill, gen, (self.confirm | after.confirm) & ~kill, after.shift)


class Ledgers:
    """The ledgers of one plan."""

    def __init__(self, setup: Setup, steps: tuple[Step, ...]) -> None:
        self._setup, self._steps = setup, steps
        self._width = len(steps) + 1
        self._shift = {step.id: i for i, step in enumerate(steps, start=1)}
        self._lane = {thing: i * self._width for i, thing in enumerate(self._things())}
        self.found = sum(1 << lane for lane in self._lane.values())
        """All is so as found."""

    def _things(self) -> Iterator[Thing]:
        net = self._setup.network
        every = (1 << len(net.ids)) - 1
        of_parts = (net.isolators, net.isolators, net.vents, every, net.holders)
        for field, mask in zip(("position", *_OF_PARTS), of_parts, strict=True):
            yield from ((field, 0, place) for place in bits(mask))
        for carrier in self._setup.carriers:
            for field in _OF_ENERGIES:
                yield from ((field, carrier.index, place) for place in bits(carrier.holders))

    def setters(self, ledger: int, thing: Thing) -> tuple[str | None, ...]:
        """The steps that may have set a thing last, in file order; None for: so as found."""
        found = ledger >> self._lane[thing] & (1 << self._width) - 1
        return tuple(None if i == 0 else self._steps[i - 1].id for i in bits(found))

    def change(self, step: str, act: Act, before: State, after: State, *, passed: bool) -> Change:
        """What an act of a step does to a ledger."""
        shift, lane = self._shift[step], (1 << self._width) - 1
        kill = gen = 0
        for thing in self._changed(before, after):
            if thing in self._lane:
                kill |= lane << self._lane[thing]
                gen |= 1 << self._lane[thing] + shift
        confirmed = self._confirmed(act, after) if passed else ()
        confirm = sum(1 << self._lane[thing] for thing in confirmed if thing in self._lane)
        return Change(kill, gen, confirm & ~kill, shift)

    @staticmethod
    def _changed(before: State, after: State) -> Iterator[Thing]:
        if before == after:
            return
        moved = (before.off ^ after.off) | (before.throttled ^ after.throttled)
        yield from (("position", 0, place) for place in bits(moved))
        for field in _OF_PARTS:
            yield from ((field, 0, place) for place in bits(getattr(before, field) ^ getattr(after, field)))
        for field in _OF_ENERGIES:
            both = zip(getattr(before, field), getattr(after, field), strict=True)
            for index, (was, now) in enumerate(both):
                yield from ((field, index, place) for place in bits(was ^ now))

    def _confirmed(self, act: Act, after: State) -> Iterator[Thing]:
        """What an act sets whether or not it was so before."""
        field, net = _CONFIRMS.get(act.verb), self._setup.network
        if field == "proven":
            shown = (c for c in self._setup.carriers if c.on_line >> net.place[act.by or ""] & 1)
            place = net.place[act.part]
            yield from ((field, c.index, place) for c in shown if after.proven[c.index] >> place & 1)
        elif field is not None:
            yield field, 0, net.place[act.part]

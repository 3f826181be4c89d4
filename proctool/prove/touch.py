"""What a step reads and what it writes, within bounds of the state.

Only what may change within the bounds counts (`things`). A step *writes* what its acts change and all charges
that may follow from that. It *reads* what its needs and acts ask for, and what any question asked after each
act looks at, if the step writes some of that: such a question compares before with after, so where nothing
of it is written nothing is reported.

Where no step writes what another reads or writes, the two can change places: the state after both is the
same, and each reports the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from proctool.model.plan import Step
from proctool.model.verdict import Charge
from proctool.model.words import Depth
from proctool.network.reach import bits
from proctool.prove.after import secured
from proctool.prove.bounds import Bounds
from proctool.prove.charge import charge
from proctool.prove.setup import Carrier, Setup
from proctool.prove.state import State
from proctool.prove.things import (
    AIR,
    CHARGE,
    DISCHARGED,
    LOCKED,
    LOOSE,
    OPENED,
    OWED,
    POSITION,
    PROVEN,
    RUNNING,
    UNCOVERED,
    VENTED,
    Things,
    View,
)
from proctool.prove.touch_acts import ACTS


class Footprint(NamedTuple):
    """What a step reads and writes."""

    reads: Things
    writes: Things

    def clashes(self, other: Footprint) -> bool:
        """Whether one writes what the other reads or writes."""
        return bool(self.writes & (other.reads | other.writes) or other.writes & self.reads)


class Touch:
    """Footprints of steps, within some bounds; `state` is any state within them."""

    def __init__(self, setup: Setup, within: Bounds, state: State) -> None:
        self.setup, self.within, self.state = setup, within, state
        self.view = View(setup, within)
        self.varies = self.view.varies
        self._follow = tuple(self._following())
        self._asked = tuple((cause & self.varies, more) for cause, more in self._questions())

    def _following(self) -> Iterator[tuple[Things, Things]]:
        """What charges, discharges and proofs follow from, zone by zone."""
        within = self.within
        for c in self.setup.carriers:
            i = c.index
            charges = self.view.charge_varies(c)
            lives = within.low.live[i] ^ within.high.live[i]
            for zone in self.view.zones[i]:
                follow = self.view.of(c, CHARGE, zone & charges)
                follow |= self.view.of(c, DISCHARGED, zone & (charges | lives | within.arrived[i]))
                follow |= self.view.of(c, PROVEN, zone & (charges | within.out[i]))
                follow &= self.varies
                if follow:
                    held = self.view.of(c, CHARGE, zone) | self.view.of(c, DISCHARGED, zone)
                    yield self.view.switches(zone) | held, follow

    def _questions(self) -> Iterator[tuple[Things, Things]]:
        """What each question that is asked after every act looks at (`after`).

        First that of which something must have changed for anything to be reported, then the rest.
        """
        setup, high, view = self.setup, self.within.high, self.view
        for place in bits(high.exposed):
            for c in setup.of_part[place]:
                things = view.exposed(place) | view.charge_of(c, place) | view.security_of(c, place)
                if c.energy.depth is not Depth.SINGLE:
                    things |= view.at(VENTED, view.zone(c, place))
                yield things, 0
        for place in bits(high.owed):
            for beside in bits(setup.near[place]):
                for c in setup.electric:
                    yield view.charge_of(c, beside), view.at(OWED, 1 << place)
        for place, energy in setup.runs:
            if high.running >> place & 1:
                yield view.charge_of(setup.by_energy[energy], place), view.at(RUNNING, 1 << place)
        for c in setup.fluids:
            for place in bits((high.loose | high.owed | high.air) & c.holders):
                bit = 1 << place
                marks = view.at(LOOSE, bit) | view.at(OWED, bit) | view.at(AIR, bit) | view.at(OPENED, bit)
                filled = view.at(POSITION, view.zone(c, place)) if c.throttled else 0
                yield view.of(c, CHARGE, bit) | filled, marks

    def stop(self) -> Things:
        """What is asked where a job stops (`ends.at_stop`); nothing of what is safe within the bounds."""
        setup, high = self.setup, self.within.high
        found = 0
        for place in bits(high.exposed):
            for c in setup.of_part[place]:
                asked = self.view.charge_of(c, place) | self.view.security_of(c, place)
                if asked & self.varies or not self._safe(c, place):
                    found |= asked | self.view.exposed(place)
        for place in bits(high.owed):
            for c in setup.of_part[place]:
                asked = self.view.charge_of(c, place)
                if asked & self.varies or self.state.live[c.index] >> place & 1:
                    found |= asked | self.view.at(OWED, 1 << place)
        return found & self.varies

    def _safe(self, c: Carrier, place: int) -> bool:
        zero = charge(self.setup, self.state, place, c) is Charge.ZERO
        return zero and secured(self.setup, self.state, place, c, excuses=False)

    # -- steps

    def step(self, step: Step) -> Footprint:
        """What one step reads and writes, whether it passes or fails."""
        reads = writes = 0
        for need in step.needs:
            reads |= self._need(need.name)
        for name, _ in step.makes:
            writes |= self.view.condition(self.setup.conditions[name])
        for act in step.acts:
            more, changed = ACTS[act.verb](self.view, act)
            reads |= more
            writes |= changed
        for cause, follow in self._follow:
            if writes & self.varies & cause:
                writes |= follow
        writes &= self.varies
        for cause, more in self._asked:
            if writes & cause:
                reads |= cause | more
        return Footprint(reads & self.varies, writes)

    def _need(self, name: str) -> Things:
        if name in self.setup.conditions:
            return self.view.condition(self.setup.conditions[name])
        place = self.setup.network.place[name]
        bit = 1 << place
        found = 0
        for block in (POSITION, LOCKED, VENTED, OPENED, UNCOVERED, RUNNING, OWED):
            found |= self.view.at(block, bit)
        for c in self.setup.of_part[place]:
            found |= self.view.of(c, CHARGE, bit) | self.view.of(c, PROVEN, bit)
        return found

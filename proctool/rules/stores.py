"""Stores that a part is still joined to when it is opened, compiled to monitors.

A tank keeps its pressure when it is cut off. Where only a check valve or a cartridge lies between, the part
may stand at zero because its own way out is open, and the tank feeds it as soon as the valve leaks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from proctool.model.monitor import Deed, Lapse, Memory, Monitor, Touch
from proctool.model.plan import Act, Plan, Step, every_step
from proctool.network.reach import Mask, Network
from proctool.rules.feed import MOVES, TURNS, Positions, moved_isolators, open_vents, start, turned

RULE = "energy/store-joined"
_OPENS = frozenset({"open", "close"})
_TOLD_BY = ("energy/opened-live", "energy/opened-charged", "energy/opened-unproven")
"""Rules of the proof that tell graver things of the part."""


def monitors(plan: Plan, net: Network) -> Iterator[Monitor]:
    """One for each part that is opened and each store of a fluid that it can be joined to."""
    acts = [act for step in every_step(plan.frame) for act in step.acts]
    for name in dict.fromkeys(act.part for act in acts if act.verb == "open"):
        for energy in (e for e in net.energies_of(name) if net.unit.energies[e].fluid):
            for store in net.names(net.danger(energy, 1 << net.place[name], 0) & net.stores):
                if store != name:
                    yield _Joined(plan, net, name, store, energy).monitor()


@dataclass(frozen=True, slots=True)
class _Joined:
    """A part and a store. Memory: isolators off, open vents of the store and the store itself, discharged."""

    plan: Plan
    net: Network
    part: str
    store: str
    energy: str

    def monitor(self) -> Monitor:
        """The monitor of this part and store."""
        net, at, kept = self.net, 1 << self.net.place[self.part], 1 << self.net.place[self.store]
        isolators = net.danger(self.energy, at, 0) & moved_isolators(self.plan, net)
        exits = net.sure(self.energy, kept, 0) & net.vents | kept

        def follow(memory: Memory, deed: Deed) -> tuple[Memory, tuple[Lapse, ...]]:
            (off, open_, empty), lapses = memory, []
            for act in deed.step.acts:
                if act.verb == "open" and act.part == self.part and not empty:
                    joined = net.danger(self.energy, at, off) & kept
                    if joined and not net.sure(self.energy, kept, off) & open_:
                        lapses.append(self._lapse())
                before, off = off, Positions(off, 0).after(net, act, isolators).off
                open_ = self._turned(act, turned(net, open_, act, exits), exits)
                if act.verb == "discharge" and act.part == self.store and deed.passed is not False:
                    empty = 1
                elif before & ~off:
                    empty = 0
            return (off, open_, empty), tuple(lapses)

        def touches(step: Step) -> Touch:
            moving = net.mask(act.part for act in step.acts if act.verb in MOVES | TURNS | _OPENS)
            if moving & (isolators | exits) or any(
                act.verb == "discharge" and act.part == self.store for act in step.acts
            ):
                return Touch.CHANGES
            opens = any(act.verb == "open" and act.part == self.part for act in step.acts)
            return Touch.ASKS if opens else Touch.NOTHING

        ajar = net.mask(name for name, words in self.plan.starts.items() if "open" in words)
        first = (start(self.plan, net).off, (open_vents(self.plan, net) | ajar) & exits, 0)
        return Monitor(RULE, (), first, touches, follow, lambda _: ())

    def _turned(self, act: Act, open_: Mask, exits: Mask) -> Mask:
        bit = 1 << self.net.place[act.part] if act.verb in _OPENS else 0
        return open_ | bit & exits if act.verb == "open" else open_ & ~bit

    def _lapse(self) -> Lapse:
        parts, energy = self.net.unit.parts, self.net.unit.energies[self.energy].name
        part, store = parts[self.part].label, parts[self.store].label
        return Lapse(
            f"The {part} is opened while the {store} can still feed it with {energy}.",
            f"Isolate and lock what shuts off the {store}: no check valve and no cartridge surely does.",
            self.part,
            (self.energy,),
            covered=tuple((rule, self.part) for rule in _TOLD_BY),
        )

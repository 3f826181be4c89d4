"""Air in a line that was drained, compiled to monitors.

The proof sets air in a part that is opened. But a line that stands open to a vent while nothing feeds it may
run empty, and air comes in behind what runs out, also through a cartridge that may be blocked. Whether it did
nobody can tell afterwards: so it counts.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from proctool.model.monitor import Deed, Lapse, Memory, Monitor, Touch
from proctool.model.plan import Act, Plan, Step, every_step
from proctool.model.words import FLUIDS, WETTING
from proctool.network.reach import Mask, Network, bits
from proctool.rules.feed import (
    MOVES,
    TURNS,
    Feed,
    Positions,
    feed,
    moved_isolators,
    open_vents,
    start,
    turned,
)

NOT_BLED = "leak/not-bled"
BLED_SHUT = "leak/bled-shut"


def monitors(plan: Plan, net: Network) -> Iterator[Monitor]:
    """One for each part that traps air on each liquid it holds, and one for each part that is bled."""
    acts = [act for step in every_step(plan.frame) for act in step.acts]
    vents = net.mask(act.part for act in acts if act.verb in TURNS) | open_vents(plan, net)
    for part in net.parts:
        for energy in _liquids(net, part.id) if part.holder and part.traps_air else ():
            line = feed(plan, net, part.id, energy)
            if line.vents & vents and line.isolators:
                yield _Drained(plan, net, part.id, energy, line).monitor()
    for bled in dict.fromkeys(act.part for act in acts if act.verb == "bleed"):
        yield _Bled(plan, net, bled).monitor()


def _liquids(net: Network, part: str) -> tuple[str, ...]:
    """The energies of a part in which air can be trapped."""
    return tuple(e for e in net.energies_of(part) if net.unit.energies[e].form in WETTING)


@dataclass(frozen=True, slots=True)
class _Drained:
    """A part that traps air, on one line. Memory: isolators off, isolators at part, open vents, air."""

    plan: Plan
    net: Network
    part: str
    energy: str
    line: Feed

    def monitor(self) -> Monitor:
        """The monitor of this part and energy."""

        def follow(memory: Memory, deed: Deed) -> tuple[Memory, tuple[Lapse, ...]]:
            at, (open_, air), lapses = Positions(*memory[:2]), memory[2:], []
            for act in deed.step.acts:
                full = self.line.live(at.off | at.part)
                at = at.after(self.net, act, self.line.isolators)
                open_ = turned(self.net, open_, act, self.line.vents)
                if act.verb == "bleed" and act.part == self.part and deed.passed is not False:
                    air = 0
                if air and not full and self.line.live(at.off | at.part):
                    lapses.append(self._lapse("comes to full pressure"))
                    air = 0
                air |= self._drains(at, open_)
            return (at.off, at.part, open_, air), tuple(lapses)

        def touches(step: Step) -> Touch:
            return Touch.CHANGES if any(map(self._counts, step.acts)) else Touch.NOTHING

        def at_end(memory: Memory) -> tuple[Lapse, ...]:
            owed = memory[3] and self.line.live(memory[0])
            return (self._lapse("is left under pressure"),) if owed else ()

        found, vents = start(self.plan, self.net), open_vents(self.plan, self.net) & self.line.vents
        first = (found.off, found.part, vents, self._drains(found, vents))
        return Monitor(NOT_BLED, (), first, touches, follow, at_end)

    def _counts(self, act: Act) -> bool:
        bit = 1 << self.net.place[act.part] if act.part else 0
        if act.verb in MOVES | TURNS:
            return bool(bit & (self.line.isolators | self.line.vents))
        return act.verb == "bleed" and act.part == self.part

    def _drains(self, at: Positions, open_: Mask) -> int:
        """Whether the part may run empty: nothing feeds it, and a way out stands open."""
        return int(not self.line.live(at.off) and bool(self.line.joined(at.off) & open_))

    def _lapse(self, how: str) -> Lapse:
        label = self.net.unit.parts[self.part].label
        return Lapse(
            f"The {label} {how}, and the air that came in when it was drained is not let out.",
            f"Fill slowly, then `bleed` the {label} at an open vent.",
            self.part,
            (self.energy,),
            covered=(("leak/full-before-bleed", self.part),),
        )


@dataclass(frozen=True, slots=True)
class _Bled:
    """A part that is bled. Memory: isolators off, open vents."""

    plan: Plan
    net: Network
    part: str

    def monitor(self) -> Monitor:
        """The monitor of this part."""
        moved, found = moved_isolators(self.plan, self.net), start(self.plan, self.net).off
        area = self._reached(found & ~moved)
        isolators, vents = moved & area, self.net.vents & area

        def follow(memory: Memory, deed: Deed) -> tuple[Memory, tuple[Lapse, ...]]:
            (off, open_), lapses = memory, []
            for act in deed.step.acts:
                off = Positions(off, 0).after(self.net, act, isolators).off
                open_ = turned(self.net, open_, act, vents)
                if act.verb == "bleed" and act.part == self.part and not self._reached(off) & open_:
                    lapses.append(self._lapse())
            return (off, open_), tuple(lapses)

        def touches(step: Step) -> Touch:
            moving = [a for a in step.acts if a.verb in MOVES | TURNS]
            if self.net.mask(act.part for act in moving) & (isolators | vents):
                return Touch.CHANGES
            bleeds = any(act.verb == "bleed" and act.part == self.part for act in step.acts)
            return Touch.ASKS if bleeds else Touch.NOTHING

        first = (found, open_vents(self.plan, self.net) & vents)
        return Monitor(BLED_SHUT, (), first, touches, follow, lambda _: ())

    def _energies(self) -> Iterable[str]:
        """The liquids of the part; where it holds none, its other fluids."""
        net = self.net
        fluids = (e for e in net.energies_of(self.part) if net.unit.energies[e].form in FLUIDS)
        return _liquids(net, self.part) or tuple(fluids)

    def _reached(self, off: Mask) -> Mask:
        """What air surely reaches from the part: no cartridge between, which may be blocked."""
        reached, at = 0, 1 << self.net.place[self.part]
        for energy in self._energies():
            reached |= self.net.sure(energy, at, off)
        return reached

    def _lapse(self) -> Lapse:
        net, parts = self.net, self.net.unit.parts
        label, at = parts[self.part].label, 1 << net.place[self.part]
        rings = (r for e in self._energies() for r in net.rings(e, at, net.normally_off, sure=True))
        ways = next((ring & net.vents for ring in rings if ring & net.vents), 0)
        named = " or the ".join(parts[net.ids[i]].label for i in bits(ways))
        return Lapse(
            f"The {label} is bled while no way out for its air stands open.",
            f"Open the {named} before this step and shut it after."
            if named
            else "The unit file has no vent that its air surely reaches: name the one it leaves by.",
            self.part,
        )

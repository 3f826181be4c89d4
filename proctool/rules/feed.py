"""What feeds a part, told from the positions of isolators alone.

A monitor does not see what is live. But a part is live where a source is in its danger reach, and only
isolators change that, so a monitor can follow the few isolators that matter to it. Those are the ones that
the plan moves and that stand between the part and what stays live whatever the plan does.
"""

from __future__ import annotations

from dataclasses import dataclass

from proctool.model.plan import Act, Plan, every_step
from proctool.model.unit import Part
from proctool.model.words import Position, Role, position_word
from proctool.network.reach import Mask, Network

MOVES = frozenset({"isolate", "throttle", "connect", "restore"})
"""Acts that set an isolator."""
TURNS = frozenset({"vent", "shut"})
"""Acts that turn a vent."""


@dataclass(frozen=True, slots=True)
class Positions:
    """Isolators that are off, and those that pass only a part."""

    off: Mask
    part: Mask

    def after(self, net: Network, act: Act, among: Mask) -> Positions:
        """The positions after an act, where it moves one of `among`."""
        bit = 1 << net.place[act.part] if act.verb in MOVES else 0
        if not bit & among:
            return self
        now = {"isolate": Position.OFF, "throttle": Position.PART, "connect": Position.ON}.get(
            act.verb, net.unit.parts[act.part].normal
        )
        off, part = self.off & ~bit, self.part & ~bit
        return Positions(
            off | bit if now is Position.OFF else off, part | bit if now is Position.PART else part
        )


@dataclass(frozen=True, slots=True)
class Feed:
    """How one energy comes to one part."""

    net: Network
    energy: str
    at: Mask
    """The part."""
    beyond: Mask
    """Isolators that cannot matter to it, and count as off."""
    isolators: Mask
    """Those whose position matters."""
    vents: Mask
    """Vents that a danger reach may join to the part while nothing feeds it."""

    def live(self, off: Mask) -> bool:
        """Whether a source reaches the part."""
        sources = self.net.sources[self.energy]
        return bool(sources and self.net.danger(self.energy, sources, off | self.beyond) & self.at)

    def joined(self, off: Mask) -> Mask:
        """The danger reach of the part."""
        return self.net.danger(self.energy, self.at, off | self.beyond)


def feed(plan: Plan, net: Network, part: str, energy: str) -> Feed:
    """How an energy comes to a part in a plan.

    What the sources reach with every isolator off that the plan moves stays live throughout; the part is live
    when it is joined to any of that. So only isolators that are reached from the part without passing through
    it matter, and while nothing feeds the part it is joined to nothing farther.
    """
    at = 1 << net.place[part]
    moved, fixed = moved_isolators(plan, net), start(plan, net).off
    fixed &= ~moved
    fed = net.danger(energy, net.sources[energy], fixed | moved) if net.sources[energy] else 0
    always = fed & ~(moved | net.vents)  # both stop a reach: that it arrives there joins nothing to it
    area = net.within(energy, at, fixed, always)
    return Feed(net, energy, at, fixed | moved & ~area, moved & area, net.vents & area)


def moved_isolators(plan: Plan, net: Network) -> Mask:
    """The isolators that any step moves."""
    acts = (act for step in every_step(plan.frame) for act in step.acts)
    return net.mask(act.part for act in acts if act.verb in MOVES)


def start(plan: Plan, net: Network) -> Positions:
    """The positions in which a plan finds the isolators of its unit."""
    at = {part.id: found(plan, part) for part in net.parts if part.role is Role.ISOLATOR}
    return Positions(
        net.mask(name for name, position in at.items() if position is Position.OFF),
        net.mask(name for name, position in at.items() if position is Position.PART),
    )


def open_vents(plan: Plan, net: Network) -> Mask:
    """The vents that a plan finds open."""
    vents = (part for part in net.parts if part.role is Role.VENT)
    return net.mask(
        part.id
        for part in vents
        if "open" in (words := plan.starts.get(part.id, ())) or (part.normally_open and "shut" not in words)
    )


def turned(net: Network, open_: Mask, act: Act, among: Mask) -> Mask:
    """The open vents after an act, where it turns one of `among`."""
    bit = 1 << net.place[act.part] if act.verb in TURNS else 0
    if not bit & among:
        return open_
    return open_ | bit if act.verb == "vent" else open_ & ~bit


def found(plan: Plan, part: Part) -> Position:
    """The position in which a plan finds an isolator."""
    words = plan.starts.get(part.id, ())
    return next((p for word in words if (p := position_word(part.device, word))), part.normal)

"""How the devices stand before a step, in every order.

What must have happened is taken from the steps that come before in every order; what may have happened is
taken as well where it undoes protection. So a device is called off, locked or open only where no order of the
steps denies it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from proctool.model.plan import Act, Frame, Plan
from proctool.model.unit import Part
from proctool.model.words import POSITION_WORDS, Position, Role


@dataclass(frozen=True, slots=True)
class Devices:
    """Isolators that are off, locks that are on, vents that are open."""

    off: frozenset[str] = frozenset()
    locked: frozenset[str] = frozenset()
    vented: frozenset[str] = frozenset()

    def after(self, act: Act, parts: Mapping[str, Part]) -> Devices:
        """How they stand after an act."""
        one = frozenset({act.part})
        match act.verb:
            case "isolate":
                return Devices(self.off | one, self.locked, self.vented)
            case "connect" | "throttle":
                return Devices(self.off - one, self.locked, self.vented)
            case "restore":
                part = parts.get(act.part)
                if part is not None and part.normal is Position.OFF:
                    return Devices(self.off | one, self.locked, self.vented)
                return Devices(self.off - one, self.locked, self.vented)
            case "lock":
                return Devices(self.off, self.locked | one, self.vented)
            case "unlock":
                return Devices(self.off, self.locked - one, self.vented)
            case "vent":
                return Devices(self.off, self.locked, self.vented | one)
            case "shut":
                return Devices(self.off, self.locked, self.vented - one)
        return self

    def meet(self, other: Devices) -> Devices:
        """What holds in both."""
        return Devices(self.off & other.off, self.locked & other.locked, self.vented & other.vented)


def at_start(plan: Plan) -> Devices:
    """How the procedure finds them: normal, or as its `starts` says."""
    off, locked, vented = set(), set(), set()
    for part in plan.unit.parts.values():
        words = plan.starts.get(part.id, ())
        if part.role is Role.ISOLATOR:
            position = part.normal
            for word in words:
                position = (
                    POSITION_WORDS.get(part.device, {}).get(word, position) if part.device else position
                )
            if position is Position.OFF:
                off.add(part.id)
            if "locked" in words:
                locked.add(part.id)
        elif part.role is Role.VENT and ("open" in words or (part.normally_open and "shut" not in words)):
            vented.add(part.id)
    return Devices(frozenset(off), frozenset(locked), frozenset(vented))


def before_step(frame: Frame, place: int, start: Devices, parts: Mapping[str, Part]) -> Devices:
    """How they stand before the step at `place`, whatever the order, where `start` held before the frame."""
    devices = start
    loose: list[Act] = []
    for i, step in enumerate(frame.steps):
        if frame.before[place] >> i & 1:
            for act in step.acts:
                devices = devices.after(act, parts)
        elif i != place and not frame.before[i] >> place & 1:
            loose += step.acts
    for act in loose:
        devices = devices.meet(devices.after(act, parts))
    return devices

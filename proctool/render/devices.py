"""How the devices stand before a step, in every order.

A device is called off, locked or open only where no order of the steps denies it: some step that comes before
in every order makes it so, and all that could undo it comes before that one in every order.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from proctool.model.plan import Act, Frame, Plan, Step
from proctool.model.unit import Part
from proctool.model.words import POSITION_WORDS, Position, Role

_SETS = {
    "isolate": ("off", True),
    "throttle": ("off", False),
    "connect": ("off", False),
    "lock": ("locked", True),
    "unlock": ("locked", False),
    "vent": ("vented", True),
    "shut": ("vented", False),
}
"""What each act on a device sets, and to what; `restore` depends on the part."""

_START = -1
"""Stands for what held before the frame."""


@dataclass(frozen=True, slots=True)
class Devices:
    """Isolators that are off, locks that are on, vents that are open."""

    off: frozenset[str] = frozenset()
    locked: frozenset[str] = frozenset()
    vented: frozenset[str] = frozenset()


def setting(act: Act, parts: Mapping[str, Part]) -> tuple[str, bool] | None:
    """What an act sets (`off`, `locked`, `vented`) and whether it makes it so; None where it sets nothing."""
    if act.verb == "restore" and act.part in parts:
        return "off", parts[act.part].normal is Position.OFF
    return _SETS.get(act.verb)


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


def after_step(step: Step, before: Devices, parts: Mapping[str, Part]) -> Devices:
    """How they stand after a step, where `before` held before it."""
    now = {"off": set(before.off), "locked": set(before.locked), "vented": set(before.vented)}
    for act in step.acts:
        if found := setting(act, parts):
            (now[found[0]].add if found[1] else now[found[0]].discard)(act.part)
    return Devices(frozenset(now["off"]), frozenset(now["locked"]), frozenset(now["vented"]))


def before_step(frame: Frame, place: int, start: Devices, parts: Mapping[str, Part]) -> Devices:
    """How they stand before the step at `place`, whatever the order, where `start` held before the frame."""
    later = 1 << place | sum(1 << i for i, earlier in enumerate(frame.before) if earlier >> place & 1)
    return _surely(frame, frame.before[place], later, start, parts)


def after_frame(frame: Frame, start: Devices, parts: Mapping[str, Part]) -> Devices:
    """How they stand after all steps of a frame, whatever the order, where `start` held before it."""
    return _surely(frame, (1 << len(frame.steps)) - 1, 0, start, parts)


def _surely(frame: Frame, done: int, later: int, start: Devices, parts: Mapping[str, Part]) -> Devices:
    """What holds once the steps in `done` are done, whichever others are that are not in `later`."""
    made: dict[tuple[str, str], set[int]] = {}
    undone: dict[tuple[str, str], set[int]] = {}
    for kind, names in (("off", start.off), ("locked", start.locked), ("vented", start.vented)):
        for name in names:
            made[kind, name] = {_START}
    for i, step in enumerate(frame.steps):
        if later >> i & 1:
            continue
        last = {(found[0], act.part): found[1] for act in step.acts if (found := setting(act, parts))}
        for key, so in last.items():
            if not so:
                undone.setdefault(key, set()).add(i)
            elif done >> i & 1:
                made.setdefault(key, set()).add(i)
    holds = {
        key
        for key, makers in made.items()
        if any(
            all(maker != _START and frame.before[maker] >> other & 1 for other in undone.get(key, ()))
            for maker in makers
        )
    }
    off, locked, vented = (
        frozenset(name for kind, name in holds if kind == wanted) for wanted in ("off", "locked", "vented")
    )
    return Devices(off, locked, vented)

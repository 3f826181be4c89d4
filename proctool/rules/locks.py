"""Locks on everything that is shut off for the work, compiled to monitors: one for each isolator."""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.monitor import Deed, Lapse, Memory, Monitor, Touch
from proctool.model.plan import Plan, Step, every_step
from proctool.model.unit import Part
from proctool.model.words import Control, Lock
from proctool.rules.feed import MOVES

RULE = "energy/isolated-unlocked"
_TURNS = MOVES | {"lock", "unlock"}


def monitors(plan: Plan) -> Iterator[Monitor]:
    """One for each isolator that a plan isolates and that can be locked, where lockout is required."""
    if plan.unit.control is not Control.REQUIRED:
        return
    acts = [act for step in every_step(plan.frame) for act in step.acts]
    for name in dict.fromkeys(act.part for act in acts if act.verb == "isolate"):
        part = plan.unit.parts[name]
        if part.lock is not Lock.NONE and not part.exclusive_control:
            yield _monitor(plan, part)


def _monitor(plan: Plan, part: Part) -> Monitor:
    """Memory: whether the isolator was shut off for the work, and whether it is locked."""

    def follow(memory: Memory, deed: Deed) -> tuple[Memory, tuple[Lapse, ...]]:
        (off, locked), lapses = memory, []
        for act in deed.step.acts:
            if act.part == part.id and act.verb in MOVES:
                off = int(act.verb == "isolate")
            elif act.part == part.id and act.verb in {"lock", "unlock"}:
                locked = int(act.verb == "lock")
            elif act.verb == "open" and off and not locked:
                opened = plan.unit.parts[act.part]
                lapses.append(
                    Lapse(
                        f"The {opened.label} is opened while the {part.label} is shut off and not locked.",
                        f"`lock: {part.id}` before this step.",
                        act.part,
                        covered=(("energy/opened-unlocked", act.part),),
                    )
                )
        return (off, locked), tuple(lapses)

    def touches(step: Step) -> Touch:
        if any(act.part == part.id and act.verb in _TURNS for act in step.acts):
            return Touch.CHANGES
        return Touch.ASKS if any(act.verb == "open" for act in step.acts) else Touch.NOTHING

    locked = int("locked" in plan.starts.get(part.id, ()))
    return Monitor(RULE, (), (0, locked), touches, follow, lambda _: ())

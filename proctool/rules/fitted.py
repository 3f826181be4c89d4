"""Things taken out of parts and not put back, compiled to monitors: one for each thing of each part."""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.monitor import Deed, Lapse, Memory, Monitor, Touch
from proctool.model.plan import Act, Plan, Step, every_step

RULE = "graph/removed-not-fitted"


def monitors(plan: Plan) -> Iterator[Monitor]:
    """One for each thing that a plan takes out of a part."""
    acts = [act for step in every_step(plan.frame) for act in step.acts]
    taken = ((a.part, name) for a in acts if a.verb == "remove" for name in _things(a))
    for part, thing in dict.fromkeys(taken):
        yield _monitor(plan, part, thing)


def _things(act: Act) -> list[str]:
    """The properties that an act of this kind names."""
    return act.what.split(", ")


def _monitor(plan: Plan, part: str, thing: str) -> Monitor:
    """Memory: whether the thing is out, and whether a part that it belongs to was closed without it.

    An act that names no part is done wherever the thing belongs. A part that is left open hides nothing.
    """
    homes = {part} if part else {p.id for p in plan.unit.parts.values() if thing in p.properties}

    def meant(act: Act, verb: str) -> bool:
        return act.verb == verb and thing in _things(act) and (not act.part or act.part in homes)

    def follow(memory: Memory, deed: Deed) -> tuple[Memory, tuple[Lapse, ...]]:
        out, shut = memory
        for act in deed.step.acts:
            if meant(act, "remove"):
                out, shut = 1, 0
            elif meant(act, "fit") and deed.passed is not False:
                out, shut = 0, 0
            elif act.verb in {"open", "close"} and act.part in homes:
                shut = int(act.verb == "close") & out
        return (out, shut), ()

    def touches(step: Step) -> Touch:
        turned = any(act.verb in {"open", "close"} and act.part in homes for act in step.acts)
        moved = any(meant(act, verb) for act in step.acts for verb in ("remove", "fit"))
        return Touch.CHANGES if turned or moved else Touch.NOTHING

    last = [s for s in every_step(plan.frame) if any(meant(act, "remove") for act in s.acts)][-1]
    where = f" of the {plan.unit.parts[part].label}" if part else ""
    lapse = Lapse(
        f"The {thing.replace('_', ' ')}{where} is taken out here, and in some order none is put in again.",
        "Add a step with `fit` before the part is closed.",
        part or None,
        span=last.span,
    )
    return Monitor(RULE, (), (0, 0), touches, follow, lambda memory: (lapse,) if memory[1] else ())

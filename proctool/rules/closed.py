"""Parts that are closed and do not stand open, compiled to monitors: one for each part that is closed."""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.monitor import Deed, Lapse, Memory, Monitor, Touch
from proctool.model.plan import Plan, Step, every_step

RULE = "graph/closed-unopened"
_TURNS = frozenset({"open", "close"})


def monitors(plan: Plan) -> Iterator[Monitor]:
    """One for each part that a plan closes."""
    acts = [act for step in every_step(plan.frame) for act in step.acts]
    for name in dict.fromkeys(act.part for act in acts if act.verb == "close"):
        yield _monitor(plan, name)


def _monitor(plan: Plan, part: str) -> Monitor:
    """Memory: whether the part stands open."""
    lapse = Lapse(
        f"The {plan.unit.parts[part].label} is closed here, and in some order it does not stand open.",
        f"Add the `open: {part}` that belongs to it, or take the act away.",
        part,
    )

    def follow(memory: Memory, deed: Deed) -> tuple[Memory, tuple[Lapse, ...]]:
        (open_,), lapses = memory, []
        for act in deed.step.acts:
            if act.part == part and act.verb in _TURNS:
                if act.verb == "close" and not open_:
                    lapses.append(lapse)
                open_ = int(act.verb == "open")
        return (open_,), tuple(lapses)

    def touches(step: Step) -> Touch:
        turned = any(act.part == part and act.verb in _TURNS for act in step.acts)
        return Touch.CHANGES if turned else Touch.NOTHING

    first = (int("open" in plan.starts.get(part, ())),)
    return Monitor(RULE, (), first, touches, follow, lambda _: ())

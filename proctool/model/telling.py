"""What a step does as rules over runs see it: its acts, and telling where its text alone says so."""

from __future__ import annotations

from proctool.model.plan import Act, Step, StepKind

TELLING = frozenset({"tell", "inform", "notify"})
"""First words of a text that tells people something. In English."""


def deeds_of(step: Step) -> tuple[Act, ...]:
    """The acts of a step; a `do` whose text tells someone something counts as `tell` without the act.

    Telling changes nothing on a unit, so the proof needs no act for it, and many a writer leaves it out.
    """
    if step.kind is not StepKind.DO or any(act.verb == "tell" for act in step.acts):
        return step.acts
    head, _, rest = step.text.partition(" ")
    if head.lower() not in TELLING or not rest:
        return step.acts
    return (*step.acts, Act("tell", "", step.span, what=rest.rstrip(".")))

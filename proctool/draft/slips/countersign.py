"""Critical steps marked in a plan, with a place for a second signature: what a library's key asks for."""

from __future__ import annotations

from collections.abc import Set as AbstractSet
from dataclasses import replace

from proctool.model.plan import Plan, Step

NOTE = "Critical step: a slip here can hurt someone, and nothing shows it before it does."
SIGNER = "a second person"


def countersigned(plan: Plan, critical: AbstractSet[str]) -> Plan:
    """The plan with a note on each critical step of its main list, and a hold point where it has none.

    Who signs at a hold point of the step's own stays.
    """

    def marked(step: Step) -> Step:
        if step.id not in critical:
            return step
        return replace(step, notes=(*step.notes, NOTE), hold=step.hold or SIGNER)

    return replace(plan, frame=replace(plan.frame, steps=tuple(marked(step) for step in plan.frame.steps)))

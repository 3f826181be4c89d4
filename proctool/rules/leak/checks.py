"""The leak checks of a plan, for the rules that ask how they are written."""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.plan import EndHere, Frame, Otherwise, Plan, Step, every_step
from proctool.model.unit import Part

_NONE_WRITTEN = Otherwise(Frame((), ()), EndHere(""))
"""What a check stands for that has no `otherwise`: failing ends the job, without a word of what to do."""


def leak_checks(plan: Plan) -> Iterator[tuple[Step, Part]]:
    """Each step that checks a part for leaks, with the part; those of every `otherwise` too."""
    for step in every_step(plan.frame):
        for act in step.acts:
            if act.verb == "leak_check":
                yield step, plan.unit.parts[act.part]


def says_what_then(step: Step) -> bool:
    """Whether an `otherwise` is written for a check, its own or that of a group around it."""
    return step.otherwise is not None and step.otherwise != _NONE_WRITTEN

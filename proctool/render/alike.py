"""Whether two frames read alike, so that the second need not be written out."""

from __future__ import annotations

from collections.abc import Callable

from proctool.model.plan import BackTo, Continue, Frame, Otherwise, Step

Held = Callable[[str], object]
"""What is told of the unit beside a step, by the step's path id."""


def signature(frame: Frame, check: str, held: Held) -> object:
    """Equal for frames with the same steps in the same order that leave the same states.

    `check` is the path id of the check the frame belongs to: ids under it are compared without it.
    """
    return (frame.before, tuple(_step(step, check, held) for step in frame.steps))


def _step(step: Step, check: str, held: Held) -> object:
    return (
        (step.kind, step.text, step.notes, step.hold, step.lasts, step.limits, step.gauge, step.heading),
        step.once,
        tuple((a.verb, a.part, a.by, a.energy, a.what) for a in step.acts),
        tuple((n.name, n.word) for n in step.needs),
        tuple((d.word, d.hazard, d.harm, d.avoid) for d in step.dangers),
        step.figure and (step.figure.file, step.figure.alt),
        held(step.id),
        step.otherwise and _otherwise(step.otherwise, check, held),
    )


def _otherwise(otherwise: Otherwise, check: str, held: Held) -> object:
    ending = otherwise.ending
    said: object
    if isinstance(ending, BackTo):
        then = ending.then and _otherwise(ending.then, check, held)
        said = (ending.target.removeprefix(check), ending.levels, ending.undone, ending.at_most, then)
    else:
        said = None if isinstance(ending, Continue) else ending.text
    return (signature(otherwise.frame, check, held), said)

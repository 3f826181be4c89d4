"""A list of steps with one of them skipped, done early, or done twice.

A slip is a changed frame. Everything else stays: needs, checks, what follows a failing check. Where a failing
check goes back to the step, the slip is made again: it belongs to the list, not to one pass through it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from proctool.model.plan import BackTo, Frame, FreeGroup, Otherwise, Step

_AGAIN = " again"
"""Ends the id of the second copy of a step; names have no space in them."""

Remap = Callable[[int], int]
"""From a mask over the list to the mask over the changed one."""


def skipped(frame: Frame, place: int) -> Frame:
    """The list without the step at `place`.

    What came before it and what follows it keep their order.
    """
    low = (1 << place) - 1

    def dropped(mask: int) -> int:
        return mask & low | mask >> 1 & ~low

    changed = _remapped(frame, dropped)
    return replace(
        changed,
        steps=changed.steps[:place] + changed.steps[place + 1 :],
        before=changed.before[:place] + changed.before[place + 1 :],
    )


def early(frame: Frame, place: int, before: int) -> Frame:
    """The list with the step at `place` done before the step at `before`, which else comes before it.

    It still waits for all that comes before `before` in every order, and for nothing else; `before`, and all
    that follows that, waits for it. Steps free of `before` that it used to wait for have no order against it
    now, so the orders of the changed list are all those in which it is done that early and no earlier. What
    a failing check goes back to stays as written.
    """
    bit, waits_for = 1 << place, frame.before[before]
    changed = list(frame.before)
    changed[place] = waits_for
    for i, earlier in enumerate(frame.before):
        if i == before or (earlier >> before & 1 and i != place):
            changed[i] = earlier | bit
    return replace(frame, before=tuple(changed))


def twice(frame: Frame, place: int) -> Frame:
    """The list with the step at `place` done once more after it, before anything that follows it."""
    copy = 1 << len(frame.steps)

    def doubled(mask: int) -> int:
        return mask | copy if mask >> place & 1 else mask

    changed = _remapped(frame, doubled)
    step = frame.steps[place]
    copied = _renamed(_step(step, 0, doubled), step.id)
    return replace(
        changed,
        steps=(*changed.steps, copied),
        before=(*changed.before, frame.before[place] | 1 << place),
    )


def original(step: str, slipped: str) -> str:
    """The id of a step of a changed list as it is in the list itself; `slipped` is the step of the slip."""
    copy = slipped + _AGAIN
    return slipped + step[len(copy) :] if step == copy or step.startswith(copy + "/") else step


def again(step: str, slipped: str) -> str:
    """The id in the second copy of the step `slipped`, for that step and those of its `otherwise`."""
    inside = step == slipped or step.startswith(slipped + "/")
    return slipped + _AGAIN + step[len(slipped) :] if inside else step


def _remapped(frame: Frame, remap: Remap) -> Frame:
    """The list with every mask over it said anew, those of ways back out of inner lists included."""
    return Frame(
        steps=tuple(_step(step, 0, remap) for step in frame.steps),
        before=tuple(remap(earlier) for earlier in frame.before),
        free=tuple(FreeGroup(group.id, group.span, remap(group.steps)) for group in frame.free),
    )


def _step(step: Step, depth: int, remap: Remap) -> Step:
    """A step of a list that lies `depth` lists above the changed one."""
    if step.otherwise is None:
        return step
    return replace(step, otherwise=_otherwise(step.otherwise, depth, remap))


def _otherwise(otherwise: Otherwise, depth: int, remap: Remap) -> Otherwise:
    inner = replace(
        otherwise.frame, steps=tuple(_step(step, depth + 1, remap) for step in otherwise.frame.steps)
    )
    ending = otherwise.ending
    if isinstance(ending, BackTo):
        ending = replace(
            ending,
            undone=remap(ending.undone) if ending.levels == depth else ending.undone,
            then=_otherwise(ending.then, depth, remap) if ending.then is not None else None,
        )
    return Otherwise(inner, ending)


def _renamed(step: Step, slipped: str) -> Step:
    """The second copy: every id in it is one of its own."""
    otherwise = step.otherwise
    return replace(
        step,
        id=again(step.id, slipped),
        otherwise=_renamed_inside(otherwise, slipped) if otherwise is not None else None,
    )


def _renamed_inside(otherwise: Otherwise, slipped: str) -> Otherwise:
    ending = otherwise.ending
    if isinstance(ending, BackTo) and ending.then is not None:
        ending = replace(ending, then=_renamed_inside(ending.then, slipped))
    steps = tuple(_renamed(step, slipped) for step in otherwise.frame.steps)
    return Otherwise(replace(otherwise.frame, steps=steps), ending)

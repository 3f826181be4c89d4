"""The gist of a plan: what rules ask of it that look at more than one."""

from __future__ import annotations

from fractions import Fraction

from proctool.model.gist import Gist
from proctool.model.plan import Frame, Plan, every_step
from proctool.model.quantity import convert, dimension, parse_range
from proctool.network.reach import bits

REPLACING = frozenset({"fit", "new_seal"})
"""Acts that put something new in."""


def gist(plan: Plan) -> Gist:
    """What is kept of a plan."""
    steps = tuple(every_step(plan.frame))
    acts = tuple(act for step in steps for act in step.acts)
    files = {step.span.file for step in steps} | {e.span.file for e in plan.unit.energies.values()}
    replacing = REPLACING | {"dose"}
    return Gist(
        unit=plan.unit.id,
        verbs=frozenset(act.verb for act in acts),
        opened=frozenset(act.part for act in acts if act.verb == "open"),
        things=frozenset(plan.facts.used if plan.facts is not None else ()),
        replaced=frozenset(
            name for step in steps if any(a.verb in replacing for a in step.acts) for name in step.things
        ),
        waits=_waits(plan.frame),
        files=frozenset(files),
    )


def minutes(text: str, *, least: bool) -> Fraction | None:
    """A duration in minutes, the least or the most that it says; None where it says none."""
    found = parse_range(text)
    if isinstance(found, str):
        return None
    end = (found.low or found.high) if least else (found.high or found.low)
    return convert(end, "min") if end is not None and dimension(end.measure) == "time" else None


def _waits(frame: Frame) -> Fraction:
    """The minutes of the longest chain of steps that last, one after the other."""
    until: dict[int, Fraction] = {}
    lasting = [place for place, step in enumerate(frame.steps) if step.lasts]
    these = sum(1 << place for place in lasting)
    for place in sorted(lasting, key=lambda i: frame.before[i].bit_count()):
        lasts = minutes(frame.steps[place].lasts or "", least=True) or Fraction(0)
        earlier = bits(frame.before[place] & these)
        until[place] = lasts + max((until[i] for i in earlier), default=Fraction(0))
    return max(until.values(), default=Fraction(0))

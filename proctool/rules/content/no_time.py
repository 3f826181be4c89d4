"""A procedure says how long the work takes, and that is no shorter than its waits.

Why: The line stands still for that long, and somebody has planned around it. A technician who is given 20
minutes for a job with half an hour of cooling in it will cut the cooling short.

Source: DITA `esttime` and S1000D `reqPersons` (element names read): the time a task takes stands beside the
people. That it holds the waits is common practice, no source.

Bad::

    time: 10 min
    steps:
      - stop: pump
      - wait: 15 min
      - start: pump

Good::

    time: 20 min
    steps:
      - stop: pump
      - wait: 15 min
      - start: pump
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from proctool.model.finding import Level
from proctool.model.plan import Frame
from proctool.model.quantity import convert, dimension, parse_range
from proctool.network.reach import bits
from proctool.rules.rule import ProcedureSubject, Rule, Seen


def _check(subject: ProcedureSubject) -> Iterator[Seen]:
    time = subject.procedure.time
    if time is None:
        yield Seen(
            subject.procedure.span,
            "Nothing says how long this work takes.",
            "Write `time: 30 min`, with getting it safe and back to service in it.",
        )
        return
    planned = _minutes(time.text, least=False)
    waits = max((_waits(plan.frame) for plan in subject.plans), default=Fraction(0))
    if planned is not None and waits > planned:
        yield Seen(
            time.span,
            f"Found `{time.text}`, but its waits and the checks that last take {float(waits):g} min alone.",
            "Write the time of the whole work, its waits included.",
        )


def _waits(frame: Frame) -> Fraction:
    """The minutes of the longest chain of steps that last, one after the other."""
    until: dict[int, Fraction] = {}
    for place in sorted(range(len(frame.steps)), key=lambda i: frame.before[i].bit_count()):
        lasts = _minutes(frame.steps[place].lasts or "", least=True) or Fraction(0)
        until[place] = lasts + max((until[i] for i in bits(frame.before[place])), default=Fraction(0))
    return max(until.values(), default=Fraction(0))


def _minutes(text: str, *, least: bool) -> Fraction | None:
    """A duration in minutes, the least or the most that it says; None where it says none."""
    found = parse_range(text)
    if isinstance(found, str):
        return None
    end = (found.low or found.high) if least else (found.high or found.low)
    return convert(end, "min") if end is not None and dimension(end.measure) == "time" else None


RULE = Rule("content/no-time", page=__doc__, level=Level.WARNING, procedure=_check)

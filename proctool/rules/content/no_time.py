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
from proctool.rules.gist import minutes
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
    planned = minutes(time.text, least=False)
    waits = max((case.waits for case in subject.cases), default=Fraction(0))
    if planned is not None and waits > planned:
        yield Seen(
            time.span,
            f"Found `{time.text}`, but its waits and the checks that last take {float(waits):g} min alone.",
            "Write the time of the whole work, its waits included.",
        )


RULE = Rule("content/no-time", page=__doc__, level=Level.WARNING, procedure=_check)

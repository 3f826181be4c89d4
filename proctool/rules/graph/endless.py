"""A `back_to` says how often it may be gone back at most, and what then.

Why: A joint that leaks after the third try will leak after the tenth. Without an end the technician alone
decides when to give up, tired and under pressure of time.

Source: DOE-STD-1029-92, on repeated steps: say when to stop.

Bad::

    steps:
      - do: Wipe the rim of the <housing>.
        id: wipe
      - check: The rim of the <housing> is clean.
        otherwise: {back_to: wipe}

Good::

    steps:
      - do: Wipe the rim of the <housing>.
        id: wipe
      - check: The rim of the <housing> is clean.
        otherwise: {back_to: wipe, at_most: 3, then: {end_here: Fetch a new housing.}}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.plan import BackTo, every_step
from proctool.model.span import Span
from proctool.rules.rule import PlanSubject, Rule, Seen


def _check(subject: PlanSubject) -> Iterator[Seen]:
    told: set[Span] = set()
    for step in every_step(subject.plan.frame):
        otherwise = step.otherwise
        while otherwise is not None and isinstance(otherwise.ending, BackTo):
            back, otherwise = otherwise.ending, otherwise.ending.then
            span = back.span or step.span
            lacking = [key for key, said in (("at_most", back.at_most), ("then", back.then)) if said is None]
            if lacking and span not in told:
                told.add(span)
                yield Seen(
                    span,
                    f"Going back to `{back.target}` has no end: it lacks `{'` and `'.join(lacking)}`.",
                    "Say how often at most, and what then: `at_most: 2`, `then: {end_here: …}`.",
                    step=step.id,
                )


RULE = Rule("graph/endless", page=__doc__, level=Level.WARNING, plan=_check)

"""When the next yearly inspection of a procedure is due (29 CFR 1910.147(c)(6)).

A year is 365 days from the last inspection that counts or, without one, from the first revision: our reading,
as in the rule `content/inspection-overdue`. An inspection counts if its inspector is not among those seen and
its day is past.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from proctool.model.audit import Due, Review
from proctool.model.plan import Plan, every_step
from proctool.model.procedure import Procedure

_YEAR = timedelta(days=365)
_SOON = timedelta(days=60)
"""So long before its day a review is told as due soon: common practice, no source."""


def review(procedure: Procedure, plans: Iterable[Plan], today: date) -> Review:
    """How the inspection of a procedure stands; it is asked where any of its plans places a lock."""
    locks = any(act.verb == "lock" for plan in plans for step in every_step(plan.frame) for act in step.acts)
    if not locks:
        return Review(procedure.name, Due.NOT_ASKED)
    done = [
        (day, inspection.by)
        for inspection in procedure.inspections
        if inspection.by not in inspection.of and (day := _day(inspection.date)) is not None and day <= today
    ]
    first = min((day for r in procedure.revisions if (day := _day(r.date)) is not None), default=None)
    last, by = max(done, default=(None, ""))
    counted = last or first
    if counted is None:
        return Review(procedure.name, Due.NEVER)
    due = counted + _YEAR
    state = Due.OVERDUE if due < today else Due.SOON if due - today <= _SOON else Due.DONE
    return Review(procedure.name, state, last, by, due)


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None

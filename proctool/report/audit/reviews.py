"""How the yearly inspection of a procedure stands (29 CFR 1910.147(c)(6)), as `model.inspection` reads it."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from proctool.model.audit import Due, Review
from proctool.model.inspection import standing
from proctool.model.plan import Plan, every_step
from proctool.model.procedure import Procedure

_SOON = timedelta(days=60)
"""So long before its day a review is told as due soon: common practice, no source."""


def review(procedure: Procedure, plans: Iterable[Plan], today: date) -> Review:
    """How the inspection of a procedure stands; it is asked where any of its plans places a lock."""
    locks = any(act.verb == "lock" for plan in plans for step in every_step(plan.frame) for act in step.acts)
    if not locks:
        return Review(procedure.name, Due.NOT_ASKED)
    counted = standing(procedure, today)
    if counted is None:
        return Review(procedure.name, Due.NEVER)
    due, last = counted.due, counted.last
    state = Due.OVERDUE if due < today else Due.SOON if due - today <= _SOON else Due.DONE
    day, by = (counted.since, last.by) if last is not None else (None, "")
    return Review(procedure.name, state, day, by, due)

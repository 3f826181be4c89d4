"""When a procedure must be inspected again (29 CFR 1910.147(c)(6)).

A year is 365 days from the last inspection that counts or, without one, from the first revision: our reading.
An inspection counts if its inspector is not among those seen and its day is not yet to come.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from proctool.model.procedure import Inspection, Procedure

_YEAR = timedelta(days=365)


@dataclass(frozen=True, slots=True)
class Standing:
    """From which day the year of a procedure counts."""

    since: date
    last: Inspection | None = None
    """The inspection of that day; None where it is the day of the first revision."""

    @property
    def due(self) -> date:
        """The last day on which the next inspection is in time."""
        return self.since + _YEAR


def standing(procedure: Procedure, today: date) -> Standing | None:
    """From when a procedure's year counts, or None without a day to count from."""
    done = [one for one in procedure.inspections if independent(one) and _day(one.date) <= today]
    if done:
        last = max(reversed(done), key=lambda one: _day(one.date))
        return Standing(_day(last.date), last)
    first = min((_day(revision.date) for revision in procedure.revisions), default=None)
    return Standing(first) if first is not None else None


def independent(inspection: Inspection) -> bool:
    """Whether the inspector is not among the people seen: whoever uses a procedure cannot inspect its use."""
    return inspection.by not in inspection.of


def ahead(inspection: Inspection, today: date) -> bool:
    """Whether its day is yet to come."""
    return _day(inspection.date) > today


def _day(text: str) -> date:
    return date.fromisoformat(text)  # a date that is none is refused when the file is read

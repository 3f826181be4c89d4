"""A procedure that locks energy off is inspected every year, as people use it, by somebody else.

Why: People drift. After a year nobody knows any more whether the steps are done as they are written, unless
somebody who does not use them every day has looked.

Source: 29 CFR 1910.147(c)(6): at least annually, by an authorized employee other than those who use the
procedure; certified with machine, date, people and inspector. A year is 365 days from the last inspection or,
where there was none, from the first revision: that is our reading. The profile for machinery in the European
Union does not ask for it.

Bad::

    revisions: [{number: 1, date: 2024-01-12, by: A. Example, why: First issue}]
    inspections: [{date: 2025-03-02, by: A. Example, of: [B. Sample], unit: EX-1 no. 12}]

Good::

    revisions: [{number: 1, date: 2024-01-12, by: A. Example, why: First issue}]
    inspections: [{date: 2026-03-02, by: A. Example, of: [B. Sample], unit: EX-1 no. 12}]
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.inspection import ahead, independent, standing
from proctool.rules.rule import ProcedureSubject, Rule, Seen

_HOW = "Write `inspections: [{date: …, by: …, of: [the people seen], unit: model and serial number}]`."


def _check(subject: ProcedureSubject) -> Iterator[Seen]:
    procedure, today = subject.procedure, subject.today
    if not any("lock" in case.verbs for case in subject.cases):
        return
    for inspection in procedure.inspections:
        if not independent(inspection):
            message = (
                f"{inspection.by} is among the people seen: whoever uses a procedure cannot inspect its use."
            )
            yield Seen(inspection.span, message, "Have it inspected by another authorized person.")
        elif ahead(inspection, today):
            yield Seen(
                inspection.span, f"{inspection.date} is not yet past: it does not count.", "Mend the date."
            )
    counted = standing(procedure, today)
    if counted is None or today <= counted.due:
        return
    if counted.last is not None:
        message = f"The last inspection, of {counted.since}, is more than a year ago."
        yield Seen(counted.last.span, message, _HOW)
    else:
        message = f"In use since {counted.since}, and no inspection of its use is recorded."
        yield Seen(procedure.span, message, _HOW)


RULE = Rule("content/inspection-overdue", page=__doc__, level=Level.WARNING, procedure=_check)

"""A procedure says when its work is due.

Why: Work without a due date is done when something has failed, or never. A table, an interval, a sign that
one can see, or `on failure` says it; that it waits for a failure is then a decision and no slip.

Source: IEC/IEEE 82079-1: a maintenance schedule is part of the instructions (read in a summary only).
Regulation (EU) 2023/1230 Annex III 1.7.4.2(r): the maintenance the user does, and preventive measures.

Bad::

    due: ~

Good::

    due: on failure
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.rules.rule import ProcedureSubject, Rule, Seen


def _check(subject: ProcedureSubject) -> Iterator[Seen]:
    if not subject.procedure.due:
        yield Seen(
            subject.procedure.span,
            "Nothing says when this work is due.",
            "Write `due: [{every: 6 months}]`, `due: [{table: …}]`, a sign that one can see, "
            "or `due: on failure`.",
        )


RULE = Rule("content/no-due", page=__doc__, level=Level.WARNING, procedure=_check)

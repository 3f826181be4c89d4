"""A procedure says which revision it is: number and date.

Why: Two sheets of one procedure lie on a bench, and they differ. Without a number and a date nobody knows
which of them is the newer, or whether the one in the folder is still what was proven.

Source: IEC/IEEE 82079-1: identification, date and version of the instructions, from memory.

Bad::

    revisions: ~

Good::

    revisions: [{number: 1, date: 2026-01-12, by: A. Example, why: First issue}]
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.rules.rule import ProcedureSubject, Rule, Seen


def _check(subject: ProcedureSubject) -> Iterator[Seen]:
    if not subject.procedure.revisions:
        yield Seen(
            subject.procedure.span,
            "Nothing says which revision this is.",
            "Write `revisions: [{number: 1, date: …, by: …, why: First issue}]`.",
        )


RULE = Rule("content/no-revision", page=__doc__, level=Level.WARNING, procedure=_check)

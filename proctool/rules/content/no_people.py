"""A procedure says who does the work, and the library says what these people are trained for.

Why: A lock put on by somebody without the training is a padlock on a valve. Who plans the job must know whom
to send before they stand at the unit.

Source: 29 CFR 1910.147(c)(4)(ii)(C): the procedure says who is responsible for lockout devices; (c)(8): only
authorized employees who do the work lock out. S1000D `reqPersons` and DITA `reqpers` (element names read):
persons, category, skill. IEC/IEEE 82079-1: qualification of the target group, from memory.

Bad::

    people: ~

Good::

    library:
      people: {technician: service technician with lockout training}
    people: [technician]
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.nearest import did_you_mean
from proctool.rules.rule import ProcedureSubject, Rule, Seen


def _check(subject: ProcedureSubject) -> Iterator[Seen]:
    procedure, known = subject.procedure, subject.library.people
    if not procedure.people:
        yield Seen(
            procedure.span,
            "Nothing says who does this work.",
            "Write `people: [technician]`: one name of the library's `people` for each person.",
        )
    answering = procedure.locks.responsible if procedure.locks is not None else None
    for name in (*procedure.people, *(() if answering is None else (answering,))):
        if name.text not in known:
            hint = did_you_mean(name.text, known)
            yield Seen(
                name.span,
                f"`{name.text}` is nobody of this library: nothing says what they are trained for.{hint}",
                "Mend the name."
                if hint
                else f"Write `people: {{{name.text}: …}}` into library.yaml, with their training.",
            )


RULE = Rule("content/no-people", page=__doc__, level=Level.WARNING, procedure=_check)

"""Where several people work on a locked unit, it is said how a lock of their own protects each of them.

Why: Under somebody else's lock one is safe until that person goes home. Either everyone locks every isolator,
or everyone puts a lock on one group lock, and one person answers for it.

Source: 29 CFR 1910.147(f)(3)(ii)(A) to (D): one authorized employee is responsible, and can ascertain who is
exposed; each one affixes a personal lock. It is an error because it guards people.

Bad::

    library:
      people: {technician: service technician, fitter: pipe fitter}
    people: [technician, fitter]

Good::

    library:
      people: {technician: service technician, fitter: pipe fitter}
    people: [technician, fitter]
    locks: {group: technician}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.nearest import did_you_mean
from proctool.rules.rule import ProcedureSubject, Rule, Seen


def _check(subject: ProcedureSubject) -> Iterator[Seen]:
    procedure = subject.procedure
    people = [name.text for name in procedure.people]
    locked = any("lock" in case.verbs for case in subject.cases)
    if procedure.locks is None:
        if len(people) > 1 and locked:
            yield Seen(
                procedure.people[0].span,
                f"{len(people)} people work here under lock, and nothing says whose locks protect them.",
                "Write `locks: each` (everyone locks every isolator), or `locks: {group: …}` with the one of "
                "them who answers for the group lock.",
            )
        return
    answering = procedure.locks.responsible
    if answering is not None and answering.text not in people:
        yield Seen(
            answering.span,
            f"`{answering.text}` answers for the group lock and is none of the people who do this work."
            f"{did_you_mean(answering.text, people)}",
            "Name one of `people`.",
        )


RULE = Rule("content/group-lock", page=__doc__, procedure=_check)

"""One procedure for one unit: everything resolved, or the findings that say why not."""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Mapping as ReadOnly

from proctool.model.document import Mapping, Scalar
from proctool.model.finding import Finding
from proctool.model.plan import Facts, Frame, Plan, every_step
from proctool.model.procedure import Block, LibraryFile, Procedure
from proctool.model.unit import Unit
from proctool.model.words import Role
from proctool.resolve.details import fits
from proctool.resolve.frames import build_frame
from proctool.resolve.ids import Paths
from proctool.resolve.scope import Job, Known, Scope, names_in

_STARTS = frozenset({"running", "stopped", "uncovered", "covered"})
_LEAVES = _STARTS | {"unchecked"}


def resolve(
    library: LibraryFile,
    blocks: ReadOnly[str, Block],
    procedure: Procedure,
    unit: Unit,
    known: Known,
) -> tuple[Plan | None, tuple[Finding, ...]]:
    """The plan of a procedure on a unit. With findings there is no plan: what is half known is not proven."""
    job = Job(library, blocks, procedure, unit, known)
    _conditions(job)
    _hidden(job)
    job.opens = tuple(dict.fromkeys(part.id for name in procedure.opens for part in job.parts(Scope(), name)))
    scope = Scope({"opens": job.opens} if job.opens else {}, conditions=frozenset(job.conditions))
    starts = _said(job, procedure.starts, _STARTS)
    leaves = _said(job, procedure.leaves, _LEAVES)
    frame = build_frame(job, procedure.entries, scope, (), Paths())
    if not frame.steps and not job.findings:
        job.fault("file/schema", "No step of this procedure applies to this unit.", procedure.span)
    plan = Plan(
        procedure=procedure.name,
        title=procedure.title,
        unit=unit,
        frame=frame,
        span=procedure.span,
        conditions=job.conditions,
        starts=starts,
        leaves=leaves,
        opens=job.opens,
        facts=_facts(job, frame),
    )
    return (None if job.findings else plan), tuple(dict.fromkeys(job.findings))


def _conditions(job: Job) -> None:
    """A condition is declared once, and is no part's name."""
    seen: set[str] = set()
    for name, _ in (*job.library.conditions, *job.procedure.conditions):
        if name.text in seen:
            job.fault(
                "graph/hidden-name", f"Condition `{name.text}` is declared in the library too.", name.span
            )
        if name.text in job.unit.parts:
            job.fault("graph/hidden-name", f"Condition `{name.text}` hides a part of this unit.", name.span)
        seen.add(name.text)


def _hidden(job: Job) -> None:
    """A part or fact would hide what the library calls by the same name: a text could mean either."""
    library, unit = job.library, job.unit
    things = {*library.tools, *library.supplies, *library.ppe, *library.people}
    for part in unit.parts.values():
        for name in sorted({part.id, part.tag or part.id} & {*things, *unit.facts}):
            thing = "a fact of the unit" if name in unit.facts else "a thing that the library names"
            message = f"`{name}` hides {thing}. Choose another name."
            job.fault("graph/hidden-name", message, part.span)
    for name in sorted(unit.facts.keys() & things):
        message = f"`{name}` hides a thing that the library names. Choose another name."
        job.fault("graph/hidden-name", message, unit.span)


def _said(job: Job, said: Mapping | None, more: frozenset[str]) -> dict[str, tuple[str, ...]]:
    """The words of `starts` or `leaves` by part."""
    found: dict[str, tuple[str, ...]] = {}
    for key, value in said.entries if said is not None else ():
        for part in job.parts(Scope(), key):
            words = [w.text for w in names_in(value) if fits(job, part, w, more)]
            found[part.id] = (*found.get(part.id, ()), *words)
    return found


def _facts(job: Job, frame: Frame) -> Facts:
    library, procedure = job.library, job.procedure
    tools = tuple(library.tools[name] for name in job.used if name in library.tools)
    supplies = tuple(library.supplies[name] for name in job.used if name in library.supplies)
    # What no step names is not thereby needless: where none is named all of it is asked for.
    ppe = [text for name, text in library.ppe.items() if name in job.used] or library.ppe.values()
    return Facts(
        library=library.name,
        language=library.language,
        time=procedure.time.text if procedure.time is not None else "",
        people=tuple(_people(library, procedure.people)),
        ppe=tuple(ppe),
        tools=(*tools, *_testers(job.unit, frame)),
        supplies=supplies,
        due=procedure.due,
        revisions=procedure.revisions,
        number=procedure.number,
        shows=library.shows,
        used=tuple(job.used),
        disposal=tuple(
            f"{t.label}: {t.disposal}" for t in library.things if t.disposal and t.key.text in job.used
        ),
        locks=_locks(library, procedure),
    )


def _people(library: LibraryFile, named: tuple[Scalar, ...]) -> Iterator[str]:
    for name in named:
        yield library.people.get(name.text, name.text)


def _testers(unit: Unit, frame: Frame) -> tuple[str, ...]:
    """The portable gauges that steps read or try: they are brought along like tools."""
    read: dict[str | None, None] = {}
    for step in every_step(frame):
        read |= dict.fromkeys((step.gauge, *(name for act in step.acts for name in (act.by, act.part))))
    parts = (unit.parts[name] for name in read if name is not None and name in unit.parts)
    return tuple(part.label for part in parts if part.role is Role.GAUGE and part.at == "any")


def _locks(library: LibraryFile, procedure: Procedure) -> str:
    """Who answers for the group lock, in words; `each` where everyone locks every isolator."""
    locks = procedure.locks
    if locks is None:
        return ""
    return "each" if locks.responsible is None else next(_people(library, (locks.responsible,)))

"""A procedure of a library carried over to another unit: the draft, what is proven of it, what stays open."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from proctool.adaptable import AdaptError, free_name, must_be_asked, must_fit, part_answers, units_of
from proctool.casework import lost
from proctool.comparing import side_of
from proctool.draft.adapt.carry import Carried, Task, carry
from proctool.draft.adapt.feeds import feeds
from proctool.draft.adapt.matching import matching
from proctool.draft.adapt.naming import anchor_at
from proctool.draft.adapt.unsaid import unsaid
from proctool.draft.compare.aspects import plain as plain_text
from proctool.draft.compare.barrings import barrings
from proctool.draft.compare.compare import compare
from proctool.draft.compare.told import told
from proctool.draft.compare.unit_changes import unit_changes
from proctool.fix.sheet import Sheet
from proctool.fix.sheet import read as read_sheet
from proctool.library import Library
from proctool.marking import marked, noted, placed
from proctool.model.adapting import Adapted, Feed, Match, Question
from proctool.model.comparison import Comparison
from proctool.model.finding import Finding, Level
from proctool.model.plan import Plan, Step, every_step
from proctool.model.procedure import Procedure
from proctool.model.span import Span
from proctool.model.unit import Part, Unit
from proctool.model.verdict import DEFAULT_BUDGET, Verdict
from proctool.model.written import blocks_used
from proctool.publish import atomic
from proctool.report import adapt as report
from proctool.report.text import WIDTH, Paint, plain
from proctool.results import Case


@dataclass(frozen=True, slots=True)
class Adaptation:
    """A procedure carried over: the draft, and its reports."""

    draft: Adapted

    @property
    def settled(self) -> bool:
        """Whether the draft is proven and nothing of weight is open."""
        proven = self.draft.judgement.verdict in {Verdict.SAFE, Verdict.SAFE_WITH_DEVIATIONS}
        return proven and all(finding.level is not Level.ERROR for finding in self.draft.open)

    def to_text(self, *, width: int = WIDTH, paint: Paint = plain) -> str:
        """The report for people."""
        return report.to_text(self.draft, told(self.draft.comparison), width=width, paint=paint)

    def to_json(self) -> str:
        """The report for programs."""
        return report.to_json(self.draft)

    def write(self, to: Path) -> None:
        """Write the draft.

        Raises:
            OSError: it cannot be written; an older file is left as it was.
        """
        atomic.write(to, self.draft.text.encode())


def adapted(
    library: Library,
    procedure: str,
    to: str,
    *,
    source: str | None = None,
    name: str | None = None,
    answers: ReadOnly[str, str] | None = None,
    anew: bool = False,
    budget: int = DEFAULT_BUDGET,
    today: date | None = None,
) -> Adaptation:
    """The draft of a procedure for the unit `to`, with all that it leaves open. Nothing is written to disk.

    It is carried over from the unit `source`; without one from that of its units which shares the most parts
    with the other. `answers` settle questions by their name. The draft is checked as part of the library;
    made `anew` it stands for one of that name.

    Raises:
        AdaptError: procedure or unit is not there or cannot be read, or an answer fits nothing.
    """
    given = answers or {}
    target, origin = units_of(library, procedure, to, source)
    draft, file = free_name(library, procedure, name or f"{procedure}-{to.casefold()}", anew=anew)
    written = library.procedures[procedure]
    data = library.files[written.span.file].replace(b"\r\n", b"\n")
    sheet = read_sheet(written.span.file, data, {})
    if sheet is None or sheet.root is None:
        raise AdaptError(f"{written.span.file} cannot be read. `proctool check` says why.")
    matches = matching(origin, target, part_answers(origin, target, given))
    opens = [name.text for name in written.opens]
    must_fit(opens, procedure, matches, origin, target)
    task = Task(sheet.root, sheet.written, origin, target, matches, given, draft)
    carried = carry(task)
    must_be_asked(given, task, carried)

    before = _case(library, procedure, origin.id, budget, today)
    after = _case(_with(library, file, marked(sheet, carried)), draft, to, budget, today)
    same = {m.part: m.to for m in matches.values() if m.to is not None}
    sides = side_of(before, f"{procedure}@{origin.id}"), side_of(after, f"{draft}@{to}")
    comparison = compare(*sides, same)
    fed = _feeds(before, after, target, matches, opens)
    asked = (
        *(carried.questions if after.plan is None else _resolved(carried.questions, target)),
        *(() if after.plan is None else _unheld(fed, sheet)),
        *_unsaid(library, written, before, after, sheet),
        *_left_out(comparison, sheet, carried, target),
        *_doubled(library, procedure, target, sheet),
    )
    questions = tuple(q for q in asked if q.choices != ("yes",) or given.get(q.name) != "yes")
    commented = marked(sheet, carried, questions)
    checked = _checked(_with(library, file, commented), file, draft, to, budget, today)
    text, findings = noted(commented, file, _besides(checked, file, questions))
    return Adaptation(
        Adapted(
            procedure=procedure,
            name=draft,
            source=origin.id,
            unit=to,
            file=file,
            text=text,
            judgement=after.judgement,
            matches=tuple(matches[part] for part in carried.named),
            feeds=fed,
            questions=questions,
            open=tuple(sorted((*placed(text, file, questions), *findings), key=lambda f: f.sort_key)),
            differences=unit_changes(origin, target, same),
            comparison=comparison,
        )
    )


# ---------------------------------------------------------------------------- the draft proven


def _with(library: Library, file: str, text: str) -> Library:
    return Library({**library.files, file: text.encode()}, root=library.root)


def _case(library: Library, procedure: str, unit: str, budget: int, today: date | None) -> Case:
    cases = tuple(library.cases(procedure=procedure, unit=unit, budget=budget, today=today))
    return cases[0] if cases else lost(procedure, unit)


def _checked(
    library: Library, file: str, procedure: str, unit: str, budget: int, today: date | None
) -> Iterator[Finding]:
    """What a check finds of the draft, advice left out."""
    for finding in library.check(procedure=procedure, unit=unit, budget=budget, today=today).findings:
        own = finding.file == file or finding.procedure == procedure
        if own and finding.level is not Level.ADVICE:
            yield finding


def _besides(findings: Iterable[Finding], file: str, questions: Iterable[Question]) -> Iterator[Finding]:
    """The findings that say more than a question does.

    While a part is open its name is unknown on the unit, and no block that is given it can be resolved.
    """
    names = {question.name for question in questions}
    parts = {name.removeprefix("part ") for name in names if name.startswith("part ")}
    for finding in findings:
        unknown = set(finding.message.split("`")[1:2]) if finding.rule == "graph/unknown-name" else set()
        waits = bool(parts) and (finding.file != file or bool(unknown & parts))
        unsigned = finding.rule == "content/no-revision" and bool(names & {"revision by", "revision date"})
        if not waits and not unsigned:
            yield finding


def _feeds(
    before: Case, after: Case, target: Unit, matches: ReadOnly[str, Match], opens: list[str]
) -> tuple[Feed, ...]:
    """Ways to the opened parts past what stands for the isolators of the first procedure."""
    held = barrings(before.plan) if before.plan is not None else ()
    known = {to for b in held for i in b.isolators if (to := matches[i].to) is not None}
    now = barrings(after.plan) if after.plan is not None else ()
    opened = after.plan.opens if after.plan is not None else ()
    if not opened:
        ids = (name if name in matches else None for name in opens)
        opened = tuple(to for name in ids if name is not None and (to := matches[name].to) is not None)
    return feeds(target, opened, known, now)


def _resolved(questions: Iterable[Question], target: Unit) -> Iterator[Question]:
    """The questions on a draft that could be resolved: a part that no step of it names need not be settled.

    A name that means some other part on the second unit would be taken for that one, so it is still to be.
    """
    for question in questions:
        kind, _, name = question.name.partition(" ")
        unknown = name not in target.parts and target.tagged(name) is None
        yield replace(question, blocking=False) if kind == "part" and unknown else question


def _unheld(fed: Iterable[Feed], sheet: Sheet) -> Iterator[Question]:
    """Ways that nothing in the draft cuts, asked where the procedure says what it opens."""
    for feed in fed:
        if not feed.locked:
            what = "isolated but not locked" if feed.isolators else "not isolated"
            text = f"This way is {what} in the draft: {feed.told}"
            yield Question(f"way to {feed.part}", text, _opens(sheet), answerable=False)


def _unsaid(
    library: Library, written: Procedure, before: Case, after: Case, sheet: Sheet
) -> Iterator[Question]:
    """What steps ask of the isolators, and the other unit's file does not say, asked as above."""
    if before.plan is None or after.plan is None:
        return
    blocks = blocks_used(written, library.blocks).values()
    entries = [entry for entries in (written.entries, *(b.entries for b in blocks)) for entry in entries]
    for one in unsaid(entries, _off(before.plan), _off(after.plan)):
        text = (
            f"`{one.key}` of the {one.part.label}? Steps pick devices by it ({one.told}). "
            f"Say it of `{one.part.id}` in {after.plan.unit.file}."
        )
        yield Question(f"{one.key} of {one.part.id}", text, _opens(sheet), answerable=False)


def _off(plan: Plan) -> list[Part]:
    """The isolators that are off when something is opened, each once."""
    names = dict.fromkeys(name for barring in barrings(plan) for name in barring.isolators)
    return [plan.unit.parts[name] for name in names]


def _left_out(found: Comparison, sheet: Sheet, carried: Carried, target: Unit) -> Iterator[Question]:
    """Steps that the file writes and that are none on the other unit, asked where they are written."""
    steps = every_step(found.old.plan.frame) if found.old.plan is not None else ()
    alone = [steps[pair.was] for pair in found.pairs if pair.was is not None and pair.now is None]
    ids = {step.id for step in alone}
    by_line: dict[int, list[Step]] = {}
    for step in alone:
        line = step.span.line
        inside = any(step.id.startswith(f"{other}/") for other in ids)
        cut = any(cut.first <= line <= cut.last for cut in carried.cuts)
        if sheet.root is not None and step.span.file == sheet.file and not inside and not cut:
            by_line.setdefault(anchor_at(sheet.root, line).span.line, []).append(step)
    for line, gone in by_line.items():
        more = f", and {len(gone) - 1} more from here" if len(gone) > 1 else ""
        told = f"Not on {target.id}: “{plain_text(gone[0].text)}”{more}."
        text = f"{told} Its `when`, or the set it is a copy for, leaves it out. Is that right?"
        span = Span(sheet.file, line, 1, line, 1)
        yield Question(f"step {gone[0].id}", text, span, ("yes",), blocking=False)


def _opens(sheet: Sheet) -> Span:
    """Where the file says what is opened, else where it starts."""
    entries = sheet.root.entries if sheet.root is not None else ()
    return next((key.span for key, _ in entries if key.text == "opens"), entries[0][0].span)


def _doubled(library: Library, procedure: str, target: Unit, sheet: Sheet) -> Iterator[Question]:
    """A procedure that is for the unit already would be there twice."""
    written = library.procedures[procedure]
    if target.id in library.units.fitting(written)[0] and sheet.root is not None:
        names = ", ".join(name.text for name in written.units)
        text = (
            f"`{procedure}` names {names}, so it is for {target.id} too. Keep one of both: drop this draft, "
            "or name the other units there one by one."
        )
        yield Question("both", text, sheet.root.entries[0][0].span, blocking=False, answerable=False)

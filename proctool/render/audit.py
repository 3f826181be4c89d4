"""The page of an audit: gaps first, then the matrix with every step, then what rests on somebody's word."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.model.audit import Audit, Audited, Line, OnWord, Requirement
from proctool.model.coverage import Aspect, Cell, Deed, Mark
from proctool.model.finding import Finding
from proctool.model.numbers import numbers, parted, run
from proctool.model.plan import Plan, every_step
from proctool.model.verdict import Verdict
from proctool.render import words
from proctool.render.gaps import Spot, gathered
from proctool.render.html import document
from proctool.render.speech import counted, fixed, say, speaking

_SIGNS = {
    Mark.YES: "✓",
    Mark.WORD: "✎",
    Mark.NOT_ASKED: "\N{EN DASH}",
    Mark.SOMETIMES: "✗",
    Mark.NO: "✗",
    Mark.UNKNOWN: "?",
}
"""A sign for each mark, so that colour never stands alone; its word stands beside it."""
_CLASSES = {Mark.YES: "yes", Mark.WORD: "word", Mark.NOT_ASKED: "none"}
"""The style of each mark; every other is a gap."""
_VERDICTS = {
    Verdict.SAFE: fixed("proven safe"),
    Verdict.SAFE_WITH_DEVIATIONS: fixed("proven safe with deviations"),
    Verdict.UNSAFE: fixed("UNSAFE"),
    Verdict.UNPROVEN: fixed("NOT PROVEN"),
}
_UNKNOWN = fixed("It could not be resolved for the unit: nothing is known of it.")


@dataclass(frozen=True, slots=True)
class Link:
    """A step to look at, and the device that it uses."""

    target: str
    """Empty where it is so as found."""
    number: str
    about: str


@dataclass(frozen=True, slots=True)
class Shown:
    """One cell or one requirement."""

    label: str
    kind: str
    sign: str
    mark: str
    links: tuple[Link, ...]
    later: tuple[Link, ...]
    """Steps that only follow a failed check."""
    why: str
    trace: str
    """A shortest run on which it does not hold, by the numbers of its steps."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One row of the matrix."""

    number: int
    part: str
    energy: str
    beside: str
    opened_by: tuple[Link, ...]
    run: str
    """A shortest run to the opening."""
    cells: tuple[Shown, ...]
    wrong: tuple[tuple[str, str], ...]
    """Its gaps, and by which steps each comes about."""
    word: bool
    sampled: bool


@dataclass(frozen=True, slots=True)
class StepLine:
    """One step as the page lists it."""

    anchor: str
    number: str
    text: str
    place: str
    """File and line."""
    depth: int


@dataclass(frozen=True, slots=True)
class CasePage:
    """One procedure on one unit."""

    anchor: str
    title: str
    procedure: str
    unit: str
    verdict: str
    safe: bool
    orders: str
    entries: tuple[Entry, ...]
    asked: tuple[Shown, ...]
    lacks: tuple[str, ...]
    """What a written procedure must hold and this one does not, beyond the gaps of its rows."""
    steps: tuple[StepLine, ...]
    resolved: bool


@dataclass(frozen=True, slots=True)
class Claim:
    """The same thing said of one or more units or procedures."""

    where: str
    about: str
    said: str
    place: str


def page(audit: Audit) -> str:
    """The audit as one HTML file that asks for nothing outside itself."""
    languages = (case.plan.facts.language for case in audit.cases if case.plan and case.plan.facts)
    language = next(languages, "en")
    sampled = {line.number for line in audit.sample.lines}
    with speaking(language):
        cases = tuple(_case(audit, case, place, sampled) for place, case in enumerate(audit.cases, start=1))
        return document(
            "audit.html.j2",
            "screen",
            ("audit.css",),
            "audit.js",
            language=language,
            audit=audit,
            cases=cases,
            gaps=gathered((f"{c.title}, {c.unit}", said, spot) for c in cases for said, spot in _spots(c)),
            aspects=tuple(words.capital(words.term(aspect)) for aspect in Aspect),
            legend=tuple((_SIGNS[mark], words.term(mark), _CLASSES.get(mark, "gap")) for mark in Mark),
            energies=tuple(dict.fromkeys(entry.energy for case in cases for entry in case.entries)),
            claims=_claims(audit.words),
            findings=tuple(_finding(finding) for finding in audit.findings),
            limits=tuple(map(say, words.UNCOVERED)),
        )


class _Writer:
    """Writes what belongs to one case."""

    def __init__(self, plan: Plan, anchor: str) -> None:
        self.plan, self.anchor = plan, anchor
        self.known = numbers(plan)

    def link(self, deed: Deed) -> Link:
        """A deed: its step, and the name of its device."""
        about = self.plan.unit.parts[deed.part].label
        if deed.step is None:
            return Link("", say("as found"), about)
        return Link(self.target(deed.step), self.known[deed.step], about)

    def target(self, step: str) -> str:
        """Where a step stands on the page."""
        return f"{self.anchor}-s{self.known[step].replace('.', '-')}"

    def entry(self, line: Line, *, sampled: bool) -> Entry:
        """A row of the matrix."""
        parts, row = self.plan.unit.parts, line.row
        return Entry(
            number=line.number,
            part=parts[row.part].label,
            energy=self.plan.unit.energies[row.energy].name,
            beside=parts[row.beside].label if row.beside else "",
            opened_by=tuple(Link(self.target(step), self.known[step], "") for step in row.exposed_by),
            run=run(row.run, self.known),
            cells=tuple(self.cell(cell) for cell in row.cells),
            wrong=tuple(self.wrong(said, cell) for said, cell in row.told),
            word=any(cell.mark is Mark.WORD for cell in row.cells),
            sampled=sampled,
        )

    def wrong(self, said: str, cell: Cell) -> tuple[str, str]:
        """A gap, and what shows it."""
        said = words.capital(say("{gap}: {why}.", gap=said, why=cell.why))
        return said, run(cell.trace, self.known)

    def cell(self, cell: Cell) -> Shown:
        """A cell of the matrix."""
        main, later = (tuple(map(self.link, deeds)) for deeds in parted(cell.by, self.known))
        label = words.capital(words.term(cell.aspect))
        return _shown(label, cell.mark, main, later, cell.why, run(cell.trace, self.known))

    def asked(self, asked: Requirement) -> Shown:
        """A requirement on the written procedure."""
        links = tuple(Link(self.target(step), self.known[step], "") for step in asked.steps)
        return _shown(f"{asked.clause} {asked.asks}", asked.mark, links, (), asked.why, "")

    def steps(self) -> tuple[StepLine, ...]:
        """Every step, those under a failing check set in."""
        return tuple(
            StepLine(
                self.target(step.id),
                self.known[step.id],
                step.text,
                f"{step.span.file}:{step.span.line}",
                self.known[step.id].count("."),
            )
            for step in every_step(self.plan.frame)
        )


def _shown(
    label: str, mark: Mark, links: tuple[Link, ...], later: tuple[Link, ...], why: str, trace: str
) -> Shown:
    return Shown(label, _CLASSES.get(mark, "gap"), _SIGNS[mark], words.term(mark), links, later, why, trace)


def _case(audit: Audit, case: Audited, place: int, sampled: set[int]) -> CasePage:
    anchor, plan = f"case-{place}", case.plan
    verdict, orders = case.judgement.verdict, case.judgement.orders
    entries: tuple[Entry, ...] = ()
    asked: tuple[Shown, ...] = ()
    steps: tuple[StepLine, ...] = ()
    if plan is not None:
        writer = _Writer(plan, anchor)
        own = (line for line in audit.lines if line.case is case)
        entries = tuple(writer.entry(line, sampled=line.number in sampled) for line in own)
        asked = tuple(map(writer.asked, case.requirements))
        steps = writer.steps()
    return CasePage(
        anchor=anchor,
        title=case.title,
        procedure=case.procedure,
        unit=case.unit,
        verdict=say(_VERDICTS[verdict]),
        safe=verdict in {Verdict.SAFE, Verdict.SAFE_WITH_DEVIATIONS},
        orders=counted("{n} order", "{n} orders", orders, n=f"{orders:,}") if orders is not None else "",
        entries=entries,
        asked=asked,
        lacks=tuple(f"{r.clause} {r.asks}: {r.why}." for r in case.requirements if r.gap),
        steps=steps,
        resolved=plan is not None,
    )


def _spots(case: CasePage) -> Iterator[tuple[str, Spot]]:
    """Every gap of a case, and where it is; what one run shows together is told together."""
    if not case.resolved:
        yield say(_UNKNOWN), Spot(case.anchor, "", "")
    for entry in case.entries:
        about = f"{entry.part}, {entry.energy}"
        if entry.beside:
            about = say("{about}, beside the {part}", about=about, part=entry.beside)
        yield from ((said, Spot(f"row-{entry.number}", about, steps)) for said, steps in entry.wrong)
    yield from ((lack, Spot(f"{case.anchor}-asked", "", "")) for lack in case.lacks)


def _claims(said: Iterable[OnWord]) -> tuple[tuple[str, tuple[Claim, ...]], ...]:
    """What is taken on word, by kind; the same of several units is said once."""
    kinds: dict[str, dict[tuple[str, str], list[OnWord]]] = {}
    for word in said:
        kinds.setdefault(word.kind, {}).setdefault((word.about, word.said), []).append(word)
    return tuple((kind, tuple(_claim(same) for same in alike.values())) for kind, alike in kinds.items())


def _claim(same: list[OnWord]) -> Claim:
    places = (f"{word.span.file}:{word.span.line}" for word in same if word.span is not None)
    where = words.commas(dict.fromkeys(word.where for word in same))
    return Claim(where, same[0].about, same[0].said, words.commas(dict.fromkeys(places)))


def _finding(finding: Finding) -> ReadOnly[str, str]:
    return {
        "level": finding.level.value,
        "rule": finding.rule,
        "place": f"{finding.file}:{finding.span.line}" if finding.span is not None else finding.file,
        "where": _where(finding),
        "message": finding.message,
    }


def _where(finding: Finding) -> str:
    if finding.procedure and finding.unit:
        return say("{procedure} on {unit}", procedure=finding.procedure, unit=finding.unit)
    return finding.procedure or finding.unit or ""

"""Drafts of procedures: what a unit's network asks for to open some parts, written down and proven.

This file wires `draft/` to a library: its words, its house rules, its own check. A draft is given out only
where that check proves it safe and finds no error; else it is said what the unit lacks.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import takewhile
from pathlib import Path

from proctool.draft.writing import why
from proctool.draft.writing.blocks import pairs, with_blocks
from proctool.draft.writing.emit import comment
from proctool.draft.writing.lacks import Want
from proctool.draft.writing.make_safe import make_safe
from proctool.draft.writing.obey import Asked, obeying
from proctool.draft.writing.phrasebook import fitting_for, phrasebook
from proctool.draft.writing.return_to import return_to_service
from proctool.draft.writing.sheet import Head, people_of, sheet
from proctool.draft.writing.way import Way
from proctool.draft.writing.ways import ways
from proctool.draft.writing.work import work
from proctool.draft.writing.written import Deed, Entry, Task
from proctool.library import Library
from proctool.model.document import Kind
from proctool.model.finding import Level
from proctool.model.plan import Act
from proctool.model.span import Span
from proctool.model.unit import Unit
from proctool.model.verdict import DEFAULT_BUDGET, Verdict
from proctool.model.words import plain_verb
from proctool.network.reach import Network
from proctool.prove.phrases import listed
from proctool.publish.atomic import write
from proctool.report.draft import Drawn, to_json
from proctool.results import Check
from proctool.rules.house.pattern import Matcher, Precedence, Response
from proctool.rules.house.pattern import Sequence as HouseRule

_TRIED = 12
"""So many drafts are proven, beyond those asked for, before it is said that none is safe."""
_NOWHERE = Span("", 1, 1, 1, 1)


@dataclass(frozen=True, slots=True)
class Proposal:
    """One way of isolating the parts, written as a procedure that the library's check proves safe."""

    text: str
    """The procedure file."""
    isolators: str
    """By name and tag."""
    disturbs: tuple[str, ...]
    """By energy, who is without supply while they are off."""
    check: Check
    """What the check finds in it: no errors."""


@dataclass(frozen=True, slots=True)
class Drafted:
    """What came of drafting: proposals, the least first, or why there is none."""

    order: DraftOrder
    proposals: tuple[Proposal, ...]
    lacks: tuple[str, ...] = ()
    """What the unit lacks, as sentences; empty where there is a proposal."""
    unsafe: Check | None = None
    """What is wrong with the best that could be written, where the network lacks nothing by itself."""

    def text(self, number: int = 1) -> str:
        """The file of one proposal, counted from 1; the others are told at its end."""
        notes = [f"{i}. {_told(p)}" for i, p in enumerate(self.proposals, start=1) if i != number]
        if not notes:
            return self.proposals[number - 1].text
        head = "Other ways, proven safe as well; `--way` and the number writes one:"
        return "\n".join((self.proposals[number - 1].text, *comment((head, *notes), ""))) + "\n"

    def to_json(self) -> str:
        """The report for programs."""
        ways = (
            Drawn(p.text, p.isolators, p.disturbs, p.check.verdicts, p.check.findings) for p in self.proposals
        )
        lacks = tuple(dict.fromkeys(self.lacks))
        unsafe = self.unsafe.findings if self.unsafe is not None else ()
        return to_json(self.order.unit, self.order.parts, ways, lacks, unsafe)


def _told(proposal: Proposal) -> str:
    without = "; ".join(f"without {said}" for said in proposal.disturbs)
    return f"{proposal.isolators}; {without}." if without else f"{proposal.isolators}."


@dataclass(frozen=True, slots=True)
class DraftOrder:
    """What is to be drafted."""

    unit: str
    parts: tuple[str, ...]
    """Ids of parts of the unit, none of them a source."""
    name: str
    """Of the procedure."""
    file: str
    """Where it would stand in the library."""
    ways: int = 1
    """How many ways of isolating the parts are asked for."""
    blocks: bool = False
    """Whether blocks of the library are used, where some prove safe; else every step is written out."""
    budget: int = DEFAULT_BUDGET
    today: date | None = None


def draft(library: Library, order: DraftOrder) -> Drafted:
    """A procedure that opens some parts of a unit, or why there is none that is safe.

    Raises:
        KeyError: the library has no such unit that could be read, or the unit has no such part.
        ValueError: the library's own file could not be read.
    """
    if library.file is None:
        raise ValueError("library.yaml could not be read")
    return _Desk(library, library.units.whole[order.unit], order).drafted()


def write_draft(to: Path, text: str) -> None:
    """Write a draft into a file, whole or not at all.

    Raises:
        OSError: it cannot be written; an older file is left as it was.
    """
    write(to, text.encode())


class _Desk:
    """A library and a unit for which a draft is written."""

    def __init__(self, library: Library, unit: Unit, order: DraftOrder) -> None:
        self.library, self.unit, self.order = library, unit, order
        self.network = Network(unit)
        self.fitting = fitting_for(unit, library.procedures.values())
        file = library.file
        if file is None:
            raise ValueError("library.yaml could not be read")
        self.phrases = phrasebook(file, library.procedures.values(), library.blocks, unit)
        self.start = {name.text: values[0] for name, values in file.conditions}
        self.people = people_of((tuple(n.text for n in p.people) for p in self.fitting), file.people)
        self.asked = tuple(self._asked())

    def drafted(self) -> Drafted:
        """Ways are written and proven in the order of what they cost."""
        found: list[Proposal] = []
        passed: list[Way] = []
        unsafe: list[Check] = []
        for way in ways(self.network, self.order.parts):
            if way.lacks:
                passed.append(way)
                continue
            for proposal in self._proposals(way, () if found else passed):
                if self._safe(proposal.check):
                    found.append(proposal)
                    break
                unsafe.append(proposal.check)
            if len(found) == self.order.ways or len(unsafe) >= _TRIED:
                break
        told = [
            lack for n, way in enumerate(passed) for lack in way.lacks if n == 0 or lack.want is Want.SEARCH
        ]
        lacks = tuple(dict.fromkeys(why.lacking(self.network, lack) for lack in told))
        if found:
            return Drafted(self.order, tuple(found))
        return Drafted(self.order, (), lacks if not unsafe else (), unsafe[0] if unsafe else None)

    def _proposals(self, way: Way, passed: Sequence[Way]) -> Iterator[Proposal]:
        """One way as drafts: by blocks if they are asked for, else with its steps written out."""
        head = self._head(way, passed)
        for steps in self._steps(way):
            text = sheet(head, steps)
            isolators = why.devices(self.network, way)
            yield Proposal(text, isolators, why.disturbed(self.network, way), self._checked(text))

    def _steps(self, way: Way) -> Iterator[tuple[Entry, ...]]:
        safe = make_safe(self.network, way, self.phrases)
        middle = work(self.network, way, self.phrases)
        back = return_to_service(self.network, way, self.phrases)
        written = obeying((safe, middle, back), self.asked, self.phrases, self.start, self.unit.parts.keys())
        if not self.order.blocks:
            yield written
            return
        first = tuple(takewhile(lambda entry: isinstance(entry, Task), written))
        for pair in pairs(self.library.blocks, self.fitting):
            yield (*first, *with_blocks(self.network, way, middle, pair, self.phrases))

    def _head(self, way: Way, passed: Iterable[Way]) -> Head:
        label = listed([self.unit.parts[part].label for part in way.parts])
        notes = tuple(self._notes(way, passed))
        return Head(self.order.name, f"Open the {label}", self.unit.id, self.people, way.parts, notes)

    def _notes(self, way: Way, passed: Iterable[Way]) -> Iterator[str]:
        yield f"Isolated by {why.devices(self.network, way)}."
        for said in why.disturbed(self.network, way):
            yield f"Meanwhile without {said}."
        yield from why.besides(self.network, way)
        for other in passed:
            lack = why.lacking(self.network, other.lacks[0])
            yield f"Passed over: {why.devices(self.network, other)}. {lack}"

    def _asked(self) -> Iterator[Asked]:
        """The library's own rules about acts, as far as they ask for conditions."""
        for rule in self.library.watchlist.house:
            match rule.pattern:
                case Precedence(before=moment, first=wanted):
                    yield self._rule(rule, moment, wanted, after=False)
                case Response(after=moment, must=wanted):
                    yield self._rule(rule, moment, wanted, after=True)

    def _rule(self, rule: HouseRule, moment: Matcher, wanted: Iterable[Matcher], *, after: bool) -> Asked:
        conditions = tuple(pair for matcher in wanted if not matcher.of_acts for pair in matcher.conditions)
        return Asked(lambda deed: self._meant(moment, deed), conditions, after, rule.name.text)

    def _meant(self, moment: Matcher, deed: Deed) -> bool:
        part = self.unit.parts.get(deed.part)
        verb = plain_verb(deed.verb, part.role, part.device, part.runs is not None) if part else None
        act = Act(verb or deed.verb, deed.part if part else "", _NOWHERE, by=deed.by or None)
        return moment.of_acts and moment.fits(self.network, act, surely=False)

    def _safe(self, check: Check) -> bool:
        """Whether the draft is proven safe and it and its unit have no error; other files do not count."""
        order = self.order
        proven = [judgement.verdict for judgement in check.verdicts] == [Verdict.SAFE]
        errors = (finding for finding in check.findings if finding.level is Level.ERROR)
        own = (
            f for f in errors if (order.file == f.file or order.name == f.procedure or order.unit == f.unit)
        )
        return proven and next(own, None) is None

    def _checked(self, text: str) -> Check:
        """What the library's own check finds, with the draft in it."""
        order = self.order
        others = {document.file for document in self.library.documents if document.kind is Kind.PROCEDURE}
        files = {file: data for file, data in self.library.files.items() if file not in others}
        files[order.file] = text.encode()
        whole = Library(files, root=self.library.root)
        return whole.check(procedure=order.name, unit=order.unit, budget=order.budget, today=order.today)

"""The public face of proctool: open a library, check it, resolve it, build it.

This file wires the stages and computes nothing itself: source → resolve → prove → rules → render.
"""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from proctool.model.document import Document, Kind, Mapping
from proctool.model.finding import Finding, Level, file_fault
from proctool.model.nearest import did_you_mean
from proctool.model.plan import Plan
from proctool.model.procedure import Block, LibraryFile, Procedure
from proctool.model.unit import Unit
from proctool.model.verdict import Judgement, Proof, Verdict
from proctool.prove import DEFAULT_BUDGET, Replay, prove, replay
from proctool.prove.replay import straight_run
from proctool.resolve.inherit import merged
from proctool.resolve.plan import resolve
from proctool.resolve.scope import Known
from proctool.resolve.unit import build_unit
from proctool.rules.judge import judge
from proctool.source import decode, read
from proctool.source.files import collect


class OpenError(Exception):
    """A library that cannot be opened at all: no such folder, no library file. The text says what to do."""


@dataclass(frozen=True, slots=True)
class Case:
    """One procedure on one unit, carried as far as it could be."""

    procedure: str
    unit: str
    plan: Plan | None
    proof: Proof | None
    judgement: Judgement
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Check:
    """What `check` found: the name of the library, its findings in order, a judgement for each case."""

    library: str | None
    findings: tuple[Finding, ...]
    verdicts: tuple[Judgement, ...]

    def count(self, level: Level) -> int:
        """How many findings of a level there are."""
        return sum(finding.level is level for finding in self.findings)


class Library:
    """A library of procedures, read once. Stages run when they are asked for."""

    def __init__(
        self,
        files: ReadOnly[str, bytes],
        *,
        root: Path | None = None,
        focus: str | None = None,
        findings: tuple[Finding, ...] = (),
    ) -> None:
        self.root = root
        self.focus = focus
        """The one file that PATH named; checks keep to it."""
        self._documents, found = read(files)
        self._file_findings = (*findings, *found)

    @classmethod
    def from_texts(cls, texts: ReadOnly[str, str]) -> Library:
        """A library from texts by relative path, without touching the disk."""
        return cls({file: text.encode() for file, text in texts.items()})

    def _of_kind(self, kind: Kind) -> dict[str, Document]:
        return {d.name.text: d for d in self._documents if d.kind is kind}

    @cached_property
    def file(self) -> LibraryFile | None:
        """What `library.yaml` says, or None where it could not be read."""
        found = tuple(self._of_kind(Kind.LIBRARY).values())
        return decode.library(found[0]) if found else None

    @cached_property
    def blocks(self) -> ReadOnly[str, Block]:
        """Blocks by name."""
        return {name: decode.block(d) for name, d in self._of_kind(Kind.BLOCK).items()}

    @cached_property
    def procedures(self) -> ReadOnly[str, Procedure]:
        """Procedures by name."""
        return {name: decode.procedure(d) for name, d in self._of_kind(Kind.PROCEDURE).items()}

    @cached_property
    def _units(self) -> tuple[dict[str, Unit], dict[str, str | None], tuple[Finding, ...]]:
        """Units that are whole, the family of every unit named in the library, and what is wrong."""
        units: dict[str, Unit] = {}
        families: dict[str, str | None] = {}
        findings: list[Finding] = []
        bases = self._of_kind(Kind.BASE)
        for name, document in self._of_kind(Kind.UNIT).items():
            whole, faults = merged(document, bases)
            findings += faults
            unit = None
            if whole is not None:
                unit, faults = build_unit(document, whole)
                findings += faults
                family = whole.get("family")
                families[name] = getattr(family, "text", None)
            families.setdefault(name, None)
            if unit is not None:
                units[name] = unit
        return units, families, tuple(dict.fromkeys(findings))

    @property
    def units(self) -> ReadOnly[str, Unit]:
        """Whole units by name."""
        return self._units[0]

    @cached_property
    def known(self) -> Known:
        """Names of parts and of their properties in any unit or base."""
        parts: set[str] = set()
        properties: set[str] = set()
        for document in self._documents:
            group = document.root.get("parts")
            if document.kind in {Kind.UNIT, Kind.BASE} and isinstance(group, Mapping):
                for key, value in group:
                    parts.add(key.text)
                    if isinstance(value, Mapping):
                        properties |= {name.text for name, _ in value}
        return Known(frozenset(parts), frozenset(properties))

    def _pairs(self, findings: list[Finding]) -> Iterator[tuple[Procedure, str]]:
        """Each procedure with each unit it is for, by name; unknown units are noted."""
        families = self._units[1]
        for name in sorted(self.procedures):
            procedure = self.procedures[name]
            wanted: dict[str, None] = {}
            for word in procedure.units:
                fitting = [u for u, family in sorted(families.items()) if word.text in {u, family}]
                if not fitting:
                    known = {*families, *(f for f in families.values() if f)}
                    fault = f"`{word.text}` is no unit or family here.{did_you_mean(word.text, known)}"
                    findings.append(
                        replace(file_fault("graph/unknown-name", fault, word.span), procedure=name)
                    )
                wanted |= dict.fromkeys(fitting)
            for unit in wanted:
                yield procedure, unit

    def cases(
        self,
        *,
        procedure: str | None = None,
        unit: str | None = None,
        budget: int = DEFAULT_BUDGET,
        findings: list[Finding] | None = None,
    ) -> Iterator[Case]:
        """Resolve, prove and judge each procedure on each of its units, one after the other."""
        for written, name in self._pairs(findings if findings is not None else []):
            if procedure in {None, written.name} and unit in {None, name}:
                yield self._case(written, name, budget)

    def _case(self, procedure: Procedure, name: str, budget: int) -> Case:
        unproven = Judgement(procedure.name, name, Verdict.UNPROVEN, None, 0)
        unit = self.units.get(name)
        library = self.file
        if unit is None or library is None:
            return Case(procedure.name, name, None, None, unproven, ())
        plan, faults = resolve(library, self.blocks, procedure, unit, self.known)
        faults = tuple(replace(f, procedure=procedure.name, unit=name) for f in faults)
        if plan is None:
            return Case(procedure.name, name, None, None, unproven, faults)
        proof = prove(plan, budget=budget)
        judgement, found = judge(plan, proof)
        return Case(procedure.name, name, plan, proof, judgement, (*faults, *found))

    def check(
        self, *, procedure: str | None = None, unit: str | None = None, budget: int = DEFAULT_BUDGET
    ) -> Check:
        """All findings and verdicts, or those of one procedure or unit."""
        findings = [*self._file_findings, *self._units[2]]
        cases = tuple(self.cases(procedure=procedure, unit=unit, budget=budget, findings=findings))
        for case in cases:
            findings += case.findings
        return Check(
            library=self.file.name if self.file is not None else None,
            findings=tuple(sorted(dict.fromkeys(findings), key=lambda f: f.sort_key)),
            verdicts=tuple(case.judgement for case in cases),
        )


def open_library(path: str | Path) -> Library:
    """Read the library at a folder, or around a file in it.

    Raises:
        OpenError: there is no library there. Faults inside its files are findings, never exceptions.
    """
    collected = collect(Path(path))
    if collected.problem is not None:
        raise OpenError(collected.problem)
    return Library(collected.files, root=collected.root, focus=collected.focus, findings=collected.findings)


def run(case: Case) -> Replay | None:
    """The run of a case in file order in which every check passes, or None where it was not resolved."""
    return replay(case.plan, straight_run(case.plan)) if case.plan is not None else None

"""All rules over one subject; a rule that fails is a finding that nothing can silence."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TypeVar

from proctool.model.document import Document, Kind
from proctool.model.finding import Finding, Level
from proctool.model.plan import Plan
from proctool.model.rows import TableFault
from proctool.model.span import Span
from proctool.rules.language.texts import TextSubject
from proctool.rules.levels import Levels
from proctool.rules.packs import RULES
from proctool.rules.rule import (
    LibrarySubject,
    PlanSubject,
    ProcedureSubject,
    Rule,
    Seen,
    UnitSubject,
    UseSubject,
)

Subject = TypeVar(
    "Subject", PlanSubject, UseSubject, UnitSubject, ProcedureSubject, LibrarySubject, TextSubject, Document
)


def over_plan(subject: PlanSubject, levels: Levels) -> tuple[Finding, ...]:
    """What the rules over plans find."""
    plan = subject.plan
    return _over(lambda rule: rule.plan, subject, levels, plan.span, plan.procedure, plan.unit.id)


def over_use(subject: UseSubject, levels: Levels) -> tuple[Finding, ...]:
    """What the rules find on a unit that is told of the procedure, whatever its units."""
    plan = subject.plan
    return _over(lambda rule: rule.use, subject, levels, plan.span, plan.procedure)


def over_unit(subject: UnitSubject, levels: Levels) -> tuple[Finding, ...]:
    """What the rules over units find."""
    unit = subject.unit
    return _over(lambda rule: rule.unit, subject, levels, unit.span, unit=unit.id)


def over_procedure(subject: ProcedureSubject, levels: Levels) -> tuple[Finding, ...]:
    """What the rules over procedures as written find, each once for all units."""
    procedure = subject.procedure
    return _over(lambda rule: rule.procedure, subject, levels, procedure.span, procedure.name)


def over_library(subject: LibrarySubject, levels: Levels) -> tuple[Finding, ...]:
    """What the rules over the whole library find."""
    return _over(lambda rule: rule.library, subject, levels, subject.library.span)


def over_texts(subject: TextSubject, levels: Levels) -> tuple[Finding, ...]:
    """What the rules over texts find in one file."""
    return _over(lambda rule: rule.text, subject, levels, subject.span, subject.procedure)


def over_document(document: Document, levels: Levels) -> tuple[Finding, ...]:
    """What the rules over files as written find in one."""
    procedure = document.name.text if document.kind is Kind.PROCEDURE else None
    return _over(lambda rule: rule.document, document, levels, document.name.span, procedure)


def over_tables(faults: tuple[TableFault, ...], plan: Plan, levels: Levels) -> tuple[Finding, ...]:
    """What was found wrong when the tables of a plan were worked out."""
    findings = []
    for fault in faults:
        level = levels.of(RULES[fault.kind])
        if level is not None:
            findings.append(
                Finding(
                    fault.kind,
                    level,
                    fault.message,
                    fault.span.file,
                    fault.span,
                    procedure=plan.procedure,
                    unit=plan.unit.id,
                    help=fault.help,
                )
            )
    return tuple(findings)


def _over(
    check: Callable[[Rule], Callable[[Subject], Iterable[Seen]] | None],
    subject: Subject,
    levels: Levels,
    span: Span,
    procedure: str | None = None,
    unit: str | None = None,
) -> tuple[Finding, ...]:
    """What the rules find that have this check; a rule that fails is told at `span`."""
    asked = ((rule, own) for rule in RULES.values() if (own := check(rule)) is not None)
    return tuple(
        replace(finding, procedure=procedure, unit=unit)
        for rule, own in asked
        for finding in _findings(rule, own, subject, levels, span)
    )


def _findings(
    rule: Rule, check: Callable[[Subject], Iterable[Seen]], subject: Subject, levels: Levels, span: Span
) -> list[Finding]:
    level = levels.of(rule)
    if level is None:
        return []
    try:
        seen = list(dict.fromkeys(check(subject)))
    except Exception as error:  # noqa: BLE001 - a crashed rule must be told, and the others must still run
        message = f"This rule could not be checked: a fault of proctool ({type(error).__name__}: {error})."
        return [Finding(rule.id, Level.ERROR, message, span.file, span)]
    return [
        Finding(
            rule.id,
            level,
            s.message,
            s.span.file,
            s.span,
            step=s.step,
            part=s.part,
            energies=s.energies,
            help=s.help or None,
            related=s.related,
        )
        for s in seen
    ]

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
    findings = [
        finding
        for rule in RULES.values()
        if rule.plan is not None
        for finding in _findings(rule, rule.plan, subject, levels, plan.span)
    ]
    return tuple(replace(f, procedure=plan.procedure, unit=plan.unit.id) for f in findings)


def over_use(subject: UseSubject, levels: Levels) -> tuple[Finding, ...]:
    """What the rules find on a unit that is told of the procedure, whatever its units."""
    findings = [
        finding
        for rule in RULES.values()
        if rule.use is not None
        for finding in _findings(rule, rule.use, subject, levels, subject.plan.span)
    ]
    return tuple(replace(f, procedure=subject.plan.procedure) for f in findings)


def over_unit(subject: UnitSubject, levels: Levels) -> tuple[Finding, ...]:
    """What the rules over units find."""
    findings = [
        finding
        for rule in RULES.values()
        if rule.unit is not None
        for finding in _findings(rule, rule.unit, subject, levels, subject.unit.span)
    ]
    return tuple(replace(f, unit=subject.unit.id) for f in findings)


def over_procedure(subject: ProcedureSubject, levels: Levels) -> tuple[Finding, ...]:
    """What the rules over procedures as written find, each once for all units."""
    procedure = subject.procedure
    findings = [
        finding
        for rule in RULES.values()
        if rule.procedure is not None
        for finding in _findings(rule, rule.procedure, subject, levels, procedure.span)
    ]
    return tuple(replace(f, procedure=procedure.name) for f in findings)


def over_library(subject: LibrarySubject, levels: Levels) -> tuple[Finding, ...]:
    """What the rules over the whole library find."""
    return tuple(
        finding
        for rule in RULES.values()
        if rule.library is not None
        for finding in _findings(rule, rule.library, subject, levels, subject.library.span)
    )


def over_texts(subject: TextSubject, levels: Levels) -> tuple[Finding, ...]:
    """What the rules over texts find in one file."""
    findings = [
        finding
        for rule in RULES.values()
        if rule.text is not None
        for finding in _findings(rule, rule.text, subject, levels, subject.span)
    ]
    return tuple(replace(f, procedure=subject.procedure) for f in findings)


def over_document(document: Document, levels: Levels) -> tuple[Finding, ...]:
    """What the rules over files as written find in one."""
    findings = [
        finding
        for rule in RULES.values()
        if rule.document is not None
        for finding in _findings(rule, rule.document, document, levels, document.name.span)
    ]
    procedure = document.name.text if document.kind is Kind.PROCEDURE else None
    return tuple(replace(f, procedure=procedure) for f in findings)


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

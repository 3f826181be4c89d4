"""One procedure on one unit through all stages: resolve → prove → rules and tables → judge."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, replace

from proctool.model.finding import Finding, Related, file_fault
from proctool.model.plan import Plan, every_step
from proctool.model.procedure import Block, Deviation, LibraryFile, Procedure
from proctool.model.rows import Table
from proctool.model.span import Span
from proctool.model.unit import Unit
from proctool.model.verdict import Judgement, Proof, Verdict
from proctool.network.kept import network_of
from proctool.prove import explained, prove, watch_each
from proctool.resolve.plan import resolve
from proctool.resolve.scope import Known
from proctool.results import Case, Outcome
from proctool.rules.deviations import apply
from proctool.rules.gist import gist
from proctool.rules.judge import judge, verdict
from proctool.rules.levels import Levels
from proctool.rules.rule import PlanSubject, UnitSubject, UseSubject
from proctool.rules.run import over_plan, over_tables, over_unit, over_use
from proctool.rules.watched import Watchlist
from proctool.rules.watched import findings as over_orders
from proctool.source.figures import Refused
from proctool.tables import compute
from proctool.tables.checks import faults as table_faults


@dataclass(frozen=True, slots=True)
class Bench:
    """What every case of a library shares."""

    library: LibraryFile
    blocks: ReadOnly[str, Block]
    known: Known
    levels: Levels
    watchlist: Watchlist
    budget: int


@dataclass(frozen=True, slots=True)
class Asked:
    """One procedure on one unit, and what besides the library its outcome hangs on."""

    procedure: Procedure
    unit: Unit
    deviations: tuple[Deviation, ...]
    """Those that count today."""
    figures: ReadOnly[str, str | Refused]
    """The digest of each picture that the procedure may show, or why it cannot be shown, by its file."""


def carry(bench: Bench, asked: Asked) -> Case:
    """A case carried as far as it goes; one that cannot be resolved is `unproven`."""
    procedure, unit, deviations = asked.procedure, asked.unit, asked.deviations
    plan, faults = resolve(bench.library, bench.blocks, procedure, unit, bench.known)
    if plan is None:
        told = tuple(replace(f, procedure=procedure.name, unit=unit.id) for f in faults)
        return lost(procedure.name, unit.id, told)
    proof, breaches, others = examined(bench, plan)
    tables, unsound = _tables(bench, procedure, plan)
    breaches, others = explained(plan, breaches), (*explained(plan, others), *unsound)
    shared = over_use(UseSubject(plan, bench.library), bench.levels)
    broken, more = apply(breaches, deviations), apply((*others, *shared), deviations)
    findings = (*broken.findings, *more.findings, *_missing(plan, asked.figures))
    passed = {move.step for finding in findings for move in finding.trace}
    outcome = Outcome(
        judgement=verdict(plan, proof, broken.findings),
        findings=findings,
        used=broken.used | more.used,
        gist=gist(plan),
        places={step.id: step.span for step in every_step(plan.frame) if step.id in passed},
    )
    return Case(
        outcome,
        plan,
        proof,
        departures=tuple((f, d) for f in (*breaches, *others, *shared) for d in apply((f,), deviations).used),
        tables=tables,
    )


def examined(bench: Bench, plan: Plan) -> tuple[Proof, tuple[Finding, ...], tuple[Finding, ...]]:
    """The proof of a plan; what it finds broken; what the rules over the plan and its runs find besides."""
    proof = prove(plan, budget=bench.budget)
    network = network_of(plan.unit)
    seen = watch_each(plan, bench.watchlist.monitors(plan, network), budget=bench.budget)
    over_runs = over_orders(plan, proof, seen, bench.levels)
    others = (*over_plan(PlanSubject(plan, proof, network), bench.levels), *over_runs)
    return proof, judge(plan, proof, bench.levels), others


def lost(procedure: str, unit: str, findings: tuple[Finding, ...] = ()) -> Case:
    """A case that could not be resolved: nothing is proven."""
    return Case(Outcome(Judgement(procedure, unit, Verdict.UNPROVEN, None, 0), findings))


def _tables(bench: Bench, procedure: Procedure, plan: Plan) -> tuple[tuple[Table, ...], tuple[Finding, ...]]:
    """The tables that can be worked out for the unit, and what is wrong with any."""
    outcomes = [compute(name, node, plan.unit, bench.library.shows) for name, node in procedure.tables]
    found = (fault for outcome in outcomes for fault in table_faults(outcome))
    worked_out = tuple(outcome for outcome in outcomes if isinstance(outcome, Table))
    return worked_out, over_tables(tuple(found), plan, bench.levels)


def _missing(plan: Plan, figures: ReadOnly[str, str | Refused]) -> tuple[Finding, ...]:
    """A finding for each picture of a plan that cannot be shown."""
    found: list[Finding] = []
    wanted = {step.figure.file: step for step in every_step(plan.frame) if step.figure is not None}
    for file, step in wanted.items():
        read = figures[file]
        if isinstance(read, str) or step.figure is None:
            continue
        line = read.line
        where = () if line is None else (Related(Span(file, line, 1, line, 1), "in the drawing"),)
        fault = file_fault("file/figure", read.why, step.figure.span, related=where)
        found.append(replace(fault, procedure=plan.procedure, unit=plan.unit.id, step=step.id))
    return tuple(found)


def examined_units(
    cases: Iterable[Outcome],
    units: Iterable[Unit],
    procedures: ReadOnly[str, Procedure],
    levels: Levels,
) -> tuple[Finding, ...]:
    """What the rules over units find.

    A part counts as opened where any of the plans opens it, and where a procedure says so at its head: it may
    have no plan because of what the unit lacks.
    """
    opened: dict[str, set[str]] = {}
    for case in cases:
        found = opened.setdefault(case.unit, set())
        found.update(name.text for name in procedures[case.procedure].opens)
        if case.gist is not None:
            found.update(case.gist.opened)
    findings: list[Finding] = []
    for unit in units:
        parts = frozenset(p.id for p in unit.parts.values() if {p.id, p.tag} & opened.get(unit.id, set()))
        findings += over_unit(UnitSubject(unit, network_of(unit), parts), levels)
    return tuple(findings)

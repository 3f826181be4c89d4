"""The audit for programs. Its shape is part of proctool's promise and does not change lightly."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date

from proctool.model.audit import Audit, Audited, Departure, Line, OnWord, Requirement, Review, Served
from proctool.model.coverage import Cell
from proctool.model.finding import Finding, Move
from proctool.model.numbers import numbers
from proctool.model.plan import every_step


def to_json(audit: Audit) -> str:
    """The whole audit; `steps`, `rows` and `requirements` stand in their cases, `cells` in their rows.

    `{"library", "today", "version", "profile", "lowered", "gaps", "cases": [{"procedure", "title", "unit",
    "verdict", "orders", "walked", "gaps", "steps": [{"step", "number", "text", "file", "line"}], "rows":
    [{"number", "key", "part", "energy", "beside", "exposed_by", "run", "cells": [{"aspect", "mark", "gap",
    "by": [{"step", "part"}], "why", "trace"}]}], "requirements"}], "units", "reviews", "deviations",
    "on_word", "findings", "left_out", "sample"}`. What does not apply is null or empty; a step that is null
    in `by` means: so as found.
    """
    lines: dict[int, list[Line]] = {}
    for line in audit.lines:
        lines.setdefault(id(line.case), []).append(line)
    whole = {
        "library": audit.library,
        "today": audit.today.isoformat(),
        "version": audit.version,
        "profile": audit.profile,
        "lowered": list(audit.lowered),
        "gaps": audit.gaps,
        "cases": [_case(case, lines.get(id(case), ())) for case in audit.cases],
        "units": [_served(served) for served in audit.served],
        "reviews": [_review(review) for review in audit.reviews],
        "deviations": [_departure(departure) for departure in audit.departures],
        "on_word": [_on_word(word) for word in audit.words],
        "findings": [_finding(finding) for finding in audit.findings],
        "left_out": list(audit.left_out),
        "sample": {
            "seed": audit.sample.seed,
            "method": audit.sample.method,
            "chance": audit.sample.chance,
            "rows": [line.number for line in audit.sample.lines],
        },
    }
    return json.dumps(whole, indent=1, ensure_ascii=False) + "\n"


def _case(case: Audited, lines: Iterable[Line]) -> dict[str, object]:
    plan, judgement = case.plan, case.judgement
    known = numbers(plan) if plan is not None else {}
    steps = every_step(plan.frame) if plan is not None else ()
    return {
        "procedure": case.procedure,
        "title": case.title,
        "unit": case.unit,
        "verdict": judgement.verdict.value,
        "orders": str(judgement.orders) if judgement.orders is not None else None,
        "walked": case.coverage.walked,
        "gaps": case.gaps,
        "steps": [
            {
                "step": step.id,
                "number": known[step.id],
                "text": step.text,
                "file": step.span.file,
                "line": step.span.line,
            }
            for step in steps
        ],
        "rows": [_row(line) for line in lines],
        "requirements": [_requirement(requirement) for requirement in case.requirements],
    }


def _row(line: Line) -> dict[str, object]:
    row = line.row
    return {
        "number": line.number,
        "key": line.key,
        "part": row.part,
        "energy": row.energy,
        "beside": row.beside,
        "exposed_by": list(row.exposed_by),
        "run": _run(row.run),
        "cells": [_cell(cell) for cell in row.cells],
    }


def _cell(cell: Cell) -> dict[str, object]:
    return {
        "aspect": cell.aspect.value,
        "mark": cell.mark.value,
        "gap": cell.mark.gap,
        "by": [{"step": deed.step, "part": deed.part} for deed in cell.by],
        "why": cell.why,
        "trace": _run(cell.trace),
    }


def _run(moves: Iterable[Move]) -> list[dict[str, object]]:
    return [{"step": move.step, "passed": move.passed} for move in moves]


def _requirement(asked: Requirement) -> dict[str, object]:
    return {
        "clause": asked.clause,
        "asks": asked.asks,
        "mark": asked.mark.value,
        "gap": asked.gap,
        "steps": list(asked.steps),
        "why": asked.why,
    }


def _served(served: Served) -> dict[str, object]:
    checked = served.checked
    walked = None
    if checked is not None:
        walked = {name: getattr(checked, name) for name in ("by", "date", "drawing", "serials")}
    return {
        "unit": served.unit,
        "title": served.title,
        "checked": walked,
        "procedures": list(served.procedures),
    }


def _review(review: Review) -> dict[str, object]:
    return {
        "procedure": review.procedure,
        "state": review.state.value,
        "last": _day(review.last),
        "by": review.by,
        "due": _day(review.due),
    }


def _day(day: date | None) -> str | None:
    return day.isoformat() if day is not None else None


def _departure(departure: Departure) -> dict[str, object]:
    said = departure.deviation
    return {
        "procedure": departure.procedure,
        "rule": said.rule.text,
        "step": said.step,
        "part": said.part,
        "why": said.why,
        "instead": said.instead,
        "by": said.by,
        "until": said.until,
        "state": departure.state,
    }


def _on_word(word: OnWord) -> dict[str, object]:
    return {
        "kind": word.kind,
        "where": word.where,
        "about": word.about,
        "said": word.said,
        "file": word.span.file if word.span else None,
        "line": word.span.line if word.span else None,
    }


def _finding(finding: Finding) -> dict[str, object]:
    return {
        "rule": finding.rule,
        "level": finding.level.value,
        "procedure": finding.procedure,
        "unit": finding.unit,
        "step": finding.step,
        "part": finding.part,
        "file": finding.file,
        "line": finding.span.line if finding.span else None,
        "message": finding.message,
    }

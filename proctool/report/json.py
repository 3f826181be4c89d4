"""The report for programs. Its shape is part of proctool's promise and does not change lightly."""

from __future__ import annotations

import json
from collections.abc import Mapping as ReadOnly
from collections.abc import Sequence

from proctool.model.finding import Finding, Level
from proctool.model.verdict import Judgement
from proctool.report import story


def report(
    library: str | None,
    findings: Sequence[Finding],
    verdicts: Sequence[Judgement],
    more: ReadOnly[str, object] | None = None,
) -> str:
    """Findings in their fixed order, verdicts by procedure and unit, counts by level; positions from 1.

    `more` are keys that only come when they are asked for.
    """
    whole = {
        "library": library,
        "verdicts": [verdict_data(judgement) for judgement in verdicts],
        "findings": [finding_data(finding) for finding in findings],
        "counts": {level.value: sum(f.level is level for f in findings) for level in Level},
        **(more or {}),
    }
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def verdict_data(judgement: Judgement) -> dict[str, object]:
    """One verdict, with the exact count of orders as text."""
    return {
        "procedure": judgement.procedure,
        "unit": judgement.unit,
        "verdict": judgement.verdict.value,
        "orders": str(judgement.orders) if judgement.orders is not None else None,
        "states": judgement.states,
    }


def finding_data(finding: Finding) -> dict[str, object]:
    """One finding; what it does not have is null."""
    return {
        "rule": finding.rule,
        "level": finding.level.value,
        "procedure": finding.procedure,
        "unit": finding.unit,
        "step": finding.step,
        "part": finding.part,
        "energies": list(finding.energies),
        "file": finding.file,
        "line": finding.span.line if finding.span else None,
        "column": finding.span.column if finding.span else None,
        "message": finding.message,
        "trace": story.moves(finding),
        "help": finding.help,
        **story.keys(finding),
    }

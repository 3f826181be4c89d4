"""The matrix for spreadsheets: comma-separated values (RFC 4180), one line for each row of the matrix."""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.audit import Audit, Line
from proctool.model.coverage import Aspect, Cell, Deed
from proctool.model.numbers import numbers
from proctool.model.plan import Plan
from proctool.report import spreadsheet

_HEAD = (
    "row",
    "procedure",
    "unit",
    "verdict",
    "part",
    "part_name",
    "energy",
    "beside",
    "opened_by",
    "sampled",
)


def to_csv(audit: Audit) -> str:
    """A head, then a line for each row: what it is, and for each aspect its mark, its steps and why."""
    return spreadsheet.to_csv(_rows(audit))


def _rows(audit: Audit) -> Iterator[Iterator[str]]:
    yield iter((*_HEAD, *(f"{aspect.value}{end}" for aspect in Aspect for end in ("", "_by", "_why"))))
    sampled = {line.number for line in audit.sample.lines}
    for line in audit.lines:
        if line.case.plan is not None:
            yield _row(line, line.case.plan, line.number in sampled)


def _row(line: Line, plan: Plan, sampled: bool) -> Iterator[str]:
    case, row, known = line.case, line.row, numbers(plan)
    yield from (str(line.number), case.procedure, case.unit, case.judgement.verdict.value)
    yield from (row.part, plan.unit.parts[row.part].label, row.energy, row.beside or "")
    yield " ".join(known[step] for step in row.exposed_by)
    yield "yes" if sampled else ""
    for cell in row.cells:
        yield from (cell.mark.value, _by(cell, plan, known), cell.why)


def _by(cell: Cell, plan: Plan, known: dict[str, str]) -> str:
    return "; ".join(_deed(deed, plan, known) for deed in cell.by)


def _deed(deed: Deed, plan: Plan, known: dict[str, str]) -> str:
    name = plan.unit.parts[deed.part].label
    return f"as found: {name}" if deed.step is None else f"{known[deed.step]} {name}"

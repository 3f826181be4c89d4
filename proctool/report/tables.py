"""`table`: tables for people at a terminal, and for programs."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proctool.model.finding import Finding
from proctool.model.rows import (
    Amount,
    AnswerCell,
    AnswerColumn,
    ReadingCell,
    ReadingColumn,
    Row,
    Spread,
    Table,
)
from proctool.report.columns import wrapped
from proctool.report.grid import Column, to_text
from proctool.report.json import finding_data
from proctool.report.text import Paint


@dataclass(frozen=True, slots=True)
class Shown:
    """A table with what is said of it."""

    title: str
    condition: str
    """Under what condition its readings mean something; empty where it does not say."""
    how: tuple[str, ...]
    values: tuple[Column, ...]
    bands_title: str
    bands: tuple[Column, ...]
    """What the answer's gauge says in each row; none where nothing is due by it."""
    meanings: tuple[tuple[str, str], ...]
    errors: tuple[str, ...]


def report(heading: str, tables: Sequence[Shown], width: int, paint: Paint) -> str:
    """The tables one after the other."""
    lines = [*wrapped(heading, width), ""] if heading else []
    for table in tables:
        lines += [*_table(table, width, paint), ""]
    return "\n".join(lines)


def _table(table: Shown, width: int, paint: Paint) -> Iterator[str]:
    yield from (paint(line, "place") for line in wrapped(table.title, width))
    if table.condition:
        yield from wrapped(table.condition, width)
    yield from ("", *to_text(table.values, width), "")
    yield from _points(table.how, width)
    if table.bands:
        yield ""
        yield from (paint(line, "place") for line in wrapped(table.bands_title, width))
        yield from ("", *to_text(table.bands, width), "")
        yield from _points([f"{word}: {meaning}" for word, meaning in table.meanings], width)
    yield from _points(table.errors, width)


def _points(sentences: Sequence[str], width: int) -> Iterator[str]:
    for sentence in sentences:
        first, *more = wrapped(sentence, width - 2) or [""]
        yield from (f"- {first}", *(f"  {line}" for line in more))


# ---------------------------------------------------------------------------- for programs


def to_json(
    procedure: str | None, unit: str | None, tables: Sequence[Table], findings: Sequence[Finding]
) -> str:
    """Tables worked out, with what their gauges can tell.

    `{"procedure", "unit", "tables": [{"table", "title", "while", "guard", "readings": [{"name", "title",
    "gauge", "measure"}], "answers": [{"name", "title", "formula", "gauge", "measure", "due":
    "or_less|or_more", "safe_side": "low|high|inside"}], "rows": [{"readings": [CELL], "answers": [CELL]}]}],
    "findings": [as of check]}`. CELL is `{"value", "also": [AMOUNT], "true": {"low", "high"}}` of amounts as
    printed, such as `2.3 bar`: `true` is what the true value can be when the gauge reads `value`, null where
    its error is unknown or there is no gauge. The CELL of an answer also has `limit`, what the formula can
    give for the true readings, and `bands`: the last readings that say `due`, `cannot_tell` and `soon`, null
    where nothing is due by it.
    """
    whole = {
        "procedure": procedure,
        "unit": unit,
        "tables": [_data(table) for table in tables],
        "findings": [finding_data(finding) for finding in findings],
    }
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def _data(table: Table) -> dict[str, object]:
    return {
        "table": table.name,
        "title": table.title,
        "while": table.condition or None,
        "guard": table.guard,
        "readings": [_column(column) for column in table.readings],
        "answers": [_answer_column(column) for column in table.answers],
        "rows": [_row(row) for row in table.rows],
    }


def _column(column: ReadingColumn | AnswerColumn) -> dict[str, object]:
    gauge = column.gauge.id if column.gauge is not None else None
    return {"name": column.name, "title": column.title, "gauge": gauge, "measure": column.measure or None}


def _answer_column(column: AnswerColumn) -> dict[str, object]:
    return {
        **_column(column),
        "formula": column.formula,
        "due": column.due.value if column.due is not None else None,
        "safe_side": column.safe_side.value if column.safe_side is not None else None,
    }


def _row(row: Row) -> dict[str, object]:
    return {
        "readings": [_cell(cell) for cell in row.readings],
        "answers": [
            {**_cell(cell), "limit": _spread(cell.limit), "bands": _bands(cell)} for cell in row.answers
        ],
    }


def _cell(cell: ReadingCell | AnswerCell) -> dict[str, object]:
    return {
        "value": cell.shown.text,
        "also": [amount.text for amount in cell.also],
        "true": _spread(cell.true),
    }


def _spread(spread: Spread | None) -> dict[str, str] | None:
    return {"low": spread.low.text, "high": spread.high.text} if spread is not None else None


def _bands(cell: AnswerCell) -> dict[str, str | None] | None:
    def text(amount: Amount | None) -> str | None:
        return amount.text if amount is not None else None

    edges = cell.edges
    if edges is None:
        return None
    return {"due": text(edges.sure), "cannot_tell": text(edges.open), "soon": text(edges.soon)}

"""`table`: tables for people at a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from proctool.report.columns import wrapped
from proctool.report.grid import Column, to_text
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

"""Comma-separated values (RFC 4180) in which no cell can be run by the spreadsheet that opens them."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable

RUN = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")  # noqa: RUF001 - wide signs are meant
"""Signs that a spreadsheet takes for the beginning of a formula, or that may hide one (OWASP, CSV Injection;
the wide ones, which some spreadsheets read like the narrow, from memory)."""
PARTS = (";", "\t", "\r", "\n")
"""Signs at which a spreadsheet may begin another cell: in many countries a list is parted by semicolons."""

_FIRST = re.compile(rf'(?:^|(?<=[{"".join(PARTS)}]))(?=[\s"]*[{re.escape("".join(RUN))}])')
_NUMBER = re.compile(r"-?[0-9.]+")


def to_csv(rows: Iterable[Iterable[str]]) -> str:
    """Rows of cells, each line ended by CR LF."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerows(map(harmless, row) for row in rows)
    return out.getvalue()


def harmless(text: str) -> str:
    """A cell that no spreadsheet runs: an apostrophe stands before what could begin a formula.

    A number stays one, with the minus sign that programs read.
    """
    number = text.replace("\N{MINUS SIGN}", "-")
    return number if _NUMBER.fullmatch(number) else _FIRST.sub("'", text)

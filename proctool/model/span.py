"""Where something stands in a file."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of one file. Lines and columns count from 1; the end is exclusive."""

    file: str
    """Path relative to the library folder, with forward slashes."""
    line: int
    column: int
    end_line: int
    end_column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"

"""What would change in the files, as a unified diff that `patch -p1` takes in the library's folder."""

from __future__ import annotations

import difflib
import re

from proctool.fix.result import Fixed
from proctool.report.columns import harmless


def unified(fixed: Fixed) -> str:
    """The difference of the files, each named by its path in the library."""
    return "".join(
        _of_file(file, fixed.before[file].decode(), data.decode())
        for file, data in sorted(fixed.after.items())
    )


def _of_file(file: str, old: str, new: str) -> str:
    lines = difflib.unified_diff(_lines(old), _lines(new), f"a/{harmless(file)}", f"b/{harmless(file)}")
    return "".join(
        line if line.endswith("\n") else f"{line}\n\\ No newline at end of file\n" for line in lines
    )


def _lines(text: str) -> list[str]:
    """The lines of a text with their breaks, as diffs count them: a carriage return ends none."""
    return re.findall(r"[^\n]*\n|[^\n]+", text)

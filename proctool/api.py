"""The public face of proctool: open a library, check it, resolve it, build it."""

from __future__ import annotations

from pathlib import Path

from proctool.baseline import BaselineError, read_baseline, write_baseline
from proctool.comparing import Compared, CompareError, compared
from proctool.fix import Fixed
from proctool.fix.diff import unified
from proctool.fix.disk import write_fixed
from proctool.library import Library, SlipWatch, Watch
from proctool.publish.start import NotEmptyError, new_library
from proctool.report.baseline import Baseline
from proctool.results import FORMATS, Built, Case, Check, Slips
from proctool.rules.explain import explained, listed
from proctool.rules.packs import RULES
from proctool.source.files import collect

__all__ = [
    "FORMATS",
    "RULES",
    "Baseline",
    "BaselineError",
    "Built",
    "Case",
    "Check",
    "CompareError",
    "Compared",
    "Fixed",
    "Library",
    "NotEmptyError",
    "OpenError",
    "SlipWatch",
    "Slips",
    "Watch",
    "compared",
    "explained",
    "listed",
    "new_library",
    "open_library",
    "read_baseline",
    "unified",
    "write_baseline",
    "write_fixed",
]


class OpenError(Exception):
    """A library that cannot be opened at all: no such folder, no library file. The text says what to do."""


def open_library(path: str | Path) -> Library:
    """Read the library at a folder, or around a file in it.

    Raises:
        OpenError: there is no library there. Faults inside its files are findings, never exceptions.
    """
    collected = collect(Path(path))
    if collected.problem is not None:
        raise OpenError(collected.problem)
    return Library(collected.files, root=collected.root, focus=collected.focus, findings=collected.findings)

# ruff: noqa: T201 - a command prints
"""An audit against one full check: ``python -m benchmarks.audit [--quick]``.

The demonstration library is read once. Then it is checked, audited (which checks it too), and the three files
of the audit are made, each in turn in one process; processor seconds, the least of some runs, told as ratios
to the check. Exits 1 where the aim is missed.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from benchmarks.demo import DEMO, least
from proctool.api import Audits, audited, open_library

AIM = 2.0
"""An audit with its files / one full check, at most."""
_TODAY = date(2026, 6, 1)


@dataclass(frozen=True, slots=True)
class Cost:
    """What an audit takes, the time of one full check being 1."""

    rows: int
    cases: int
    audit: float
    files: float


def cost(times: int) -> Cost:
    """Measure the demonstration library."""
    library = open_library(DEMO)
    checking = least(lambda: library.check(today=_TODAY), times)
    made: list[Audits] = []
    auditing = least(lambda: made.append(audited(library, version="0", today=_TODAY)), times)
    last = made[-1]
    makers: tuple[Callable[[], str], ...] = (last.to_html, last.to_csv, last.to_json)
    writing = least(lambda: [make() for make in makers], times)
    audit = last.audit
    return Cost(len(audit.lines), len(audit.cases), auditing / checking, writing / checking)


def main() -> int:
    """Print the ratios; 1 where the aim is missed."""
    asked = argparse.ArgumentParser(prog="python -m benchmarks.audit", description="An audit and a check.")
    asked.add_argument("--quick", action="store_true", help="one run of each, nothing is judged")
    quick = asked.parse_args().quick
    found = cost(1 if quick else 5)
    whole = found.audit + found.files
    print(f"{found.cases} cases, {found.rows} rows\n")
    print("| what | against one full check |", "| --- | ---: |", sep="\n")
    print(f"| the audit, its check included | {found.audit:.2f} |")
    print(f"| its page, sheet and JSON | {found.files:.2f} |")
    print(f"| all of it (aim: at most {AIM:.1f}) | {whole:.2f} |")
    return 0 if quick or whole <= AIM else 1


if __name__ == "__main__":
    sys.exit(main())

"""Broken twins: one edit to the clean demonstration library, and exactly the findings that it must give.

Each `*.yaml` here is a list of twins. The text `change` stands once in `file` and becomes `to`, or nothing.
`finds` is the finding that the mistake is about, `also` all that follows from it; each stands on a line that
begins with `line`, in `file` unless it says another. What the other copies of a step give on the same line
counts once. A twin is checked on its one `case`, a procedure and a unit, on a fixed day.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path

import pytest
import yaml

from proctool.api import RULES, Library
from proctool.model.finding import Finding

HERE = Path(__file__).parent
ROOT = HERE.parents[1] / "procedures"
TODAY = date(2026, 11, 25)


@dataclass(frozen=True, slots=True)
class Expected:
    """A finding: its rule, its file, how its line begins."""

    rule: str
    file: str
    line: str


@dataclass(frozen=True, slots=True)
class Twin:
    """One mistake and what must be found."""

    name: str
    procedure: str
    unit: str
    file: str
    change: str
    to: str
    expected: tuple[Expected, ...]
    """The first is what the mistake is about."""


def _twins(path: Path) -> list[Twin]:
    def expected(twin, found):
        return Expected(found["rule"], found.get("file", twin["file"]), found["line"])

    return [
        Twin(
            twin["twin"],
            twin["case"][0],
            twin["case"][1],
            twin["file"],
            twin["change"],
            twin.get("to", ""),
            tuple(expected(twin, found) for found in (twin["finds"], *twin.get("also", ()))),
        )
        for twin in yaml.safe_load(path.read_text(encoding="utf-8"))
    ]


TWINS = [twin for path in sorted(HERE.glob("*.yaml")) for twin in _twins(path)]


@cache
def _clean() -> dict[str, str]:
    files = sorted(ROOT.rglob("*.yaml"))
    return {path.relative_to(ROOT).as_posix(): path.read_text(encoding="utf-8") for path in files}


def _broken(twin: Twin) -> dict[str, str]:
    """The files that concern the case, one of them edited: other procedures are left out, which is faster."""
    own = f"{twin.procedure}.yaml"
    texts = {file: text for file, text in _clean().items() if "/" in file or file in {own, "library.yaml"}}
    assert texts[twin.file].count(twin.change) == 1, f"{twin.file} no longer holds once: {twin.change}"
    return {**texts, twin.file: texts[twin.file].replace(twin.change, twin.to)}


def _line(texts: dict[str, str], finding: Finding) -> str:
    return texts[finding.file].split("\n")[finding.span.line - 1].strip() if finding.span else ""


@pytest.mark.parametrize("twin", TWINS, ids=lambda twin: twin.name.replace(" ", "-"))
def test_a_mistake_is_found_and_nothing_else(twin):
    texts = _broken(twin)
    library = Library({file: text.encode() for file, text in texts.items()}, root=ROOT)
    check = library.check(procedure=twin.procedure, unit=twin.unit, today=TODAY)
    found = {(f.rule, f.file, _line(texts, f)) for f in check.findings}
    missed = [
        e
        for e in twin.expected
        if not any((rule, file) == (e.rule, e.file) and line.startswith(e.line) for rule, file, line in found)
    ]
    surplus = [
        f
        for f in sorted(found)
        if not any(f[:2] == (e.rule, e.file) and f[2].startswith(e.line) for e in twin.expected)
    ]
    assert (missed, surplus) == ([], [])
    assert len(found) == len(twin.expected), "two findings told as one"


def test_there_are_enough_of_them_and_of_every_family():
    assert len(TWINS) >= 80
    assert len({twin.name for twin in TWINS}) == len(TWINS)
    assert {twin.unit[:2] for twin in TWINS} == {"KW", "AD", "HX", "UV"}


def test_they_are_about_most_rules():
    """Rules that no twin is about have their own bad fixtures in tests/rules."""
    about = {twin.expected[0].rule for twin in TWINS}
    own = {rule for rule in about if rule not in RULES}
    assert own == {"house/bucket-first", "house/glasses-first", "house/tell-after"}
    assert len(about & RULES.keys()) > 2 / 3 * len(RULES)

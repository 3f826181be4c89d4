"""The broken twins of the demonstration library with a fault that has a fix: fixed, or told why not."""

from datetime import date
from pathlib import Path

import pytest
import yaml

from proctool.api import Library
from proctool.fix import fix_library
from proctool.fix.fixes import FIXES

TESTS = Path(__file__).parents[1]
ROOT = TESTS.parent / "procedures"
TODAY = date(2026, 11, 25)

TWINS = {
    twin["twin"]: twin
    for path in sorted((TESTS / "twins").glob("*.yaml"))
    for twin in yaml.safe_load(path.read_text(encoding="utf-8"))
    if twin["finds"]["rule"] in FIXES.keys() - {"file/schema"}
}
UNSURE = {"a tool in words only"}
"""`the spanner`, where the library has a `27 mm spanner`."""


def broken(twin):
    """The files that concern the twin's case, the twin's edit made."""
    own = {"library.yaml", f"{twin['case'][0]}.yaml"}
    files = {path.relative_to(ROOT).as_posix(): path.read_bytes() for path in ROOT.rglob("*.yaml")}
    files = {file: data for file, data in files.items() if "/" in file or file in own}
    edited = files[twin["file"]].decode().replace(twin["change"], twin.get("to", ""))
    return {**files, twin["file"]: edited.encode()}


def test_there_are_some():
    assert {twin["finds"]["rule"] for twin in TWINS.values()} >= {"graph/need-unsaid", "wording/cut-text"}
    assert TWINS.keys() >= UNSURE


@pytest.mark.parametrize("name", TWINS)
def test_a_twin(name):
    procedure, unit = TWINS[name]["case"]

    def check(files):
        return Library(files, root=ROOT).check(procedure=procedure, unit=unit, today=TODAY)

    files, rule = broken(TWINS[name]), TWINS[name]["finds"]["rule"]
    fixed = fix_library(files, check)
    after = check({**files, **fixed.after})
    if name in UNSURE:
        assert (dict(fixed.after), [note.rule for note in fixed.left]) == ({}, [rule])
        return
    assert (set(fixed.after), [note.rule for note in fixed.done]) == ({TWINS[name]["file"]}, [rule])
    assert (after.findings, [verdict.verdict.value for verdict in after.verdicts]) == ((), ["safe"])

"""The same library, the same bytes: in another process, with another hash seed, in another time zone."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

from proctool.cli.common import _given_day
from proctool.render.fonts import MARKS, TEXT, _cut, _held, faces

ROOT = Path(__file__).parents[2]


def build(to: Path, **environment: str) -> dict[str, bytes]:
    case = ("--procedure", "weekly-round", "--unit", "KW-2", "--today", "2026-06-01")
    asked = ("build", ROOT / "procedures", "--to", to, *case)
    made = subprocess.run(
        [sys.executable, "-m", "proctool", *map(str, asked)],
        cwd=ROOT,
        env={**os.environ, **environment},
        capture_output=True,
        text=True,
        check=False,
    )
    assert made.returncode == 0, made.stdout + made.stderr
    return {str(file.relative_to(to)): file.read_bytes() for file in sorted(to.rglob("*")) if file.is_file()}


def test_two_builds_are_the_same_bytes(tmp_path):
    one = build(tmp_path / "one", PYTHONHASHSEED="1", TZ="Pacific/Auckland")
    two = build(tmp_path / "two", PYTHONHASHSEED="2", TZ="America/Lima")
    assert sorted(one) == [f"weekly-round/KW-2.{ending}" for ending in ("card.pdf", "html", "pdf")]
    assert [name for name in one if one[name] != two[name]] == []


def test_the_letters_are_those_that_the_page_needs():
    rules = faces("Ventilöffnung ◐ Ж", "woff2")
    assert rules.count("@font-face") == 2
    assert rules == faces("Ж ◐ Ventilöffnung", "woff2")
    assert len(rules) < 60_000


@pytest.mark.parametrize("family", [TEXT, MARKS])
def test_a_changed_copy_does_not_bear_the_reserved_name(family):
    names = TTFont(io.BytesIO(_cut(family, frozenset("a") & _held(family), "truetype", "700")))["name"].names
    assert not {record.nameID for record in names} & {1, 3, 4, 6, 16, 25}  # what a font is called
    assert not any("Source" in record.toUnicode() for record in names if record.nameID != 0)
    assert any("Open Font License" in record.toUnicode() for record in names)


def test_the_day_is_that_of_the_source(monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1780272000")
    day = _given_day()
    assert day is not None
    assert day.date().isoformat() == "2026-06-01"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "soon")
    with pytest.raises(SystemExit):
        _given_day()
    monkeypatch.delenv("SOURCE_DATE_EPOCH")
    assert _given_day() is None

"""Work shared among processes: the same pages whoever makes them; one that fails takes no other with it."""

from __future__ import annotations

import os
import pty
import re
import subprocess
import sys
from pathlib import Path

import pytest

from benchmarks.library import library
from proctool.render.html import page
from tests.cli.plant import call, written

pytestmark = pytest.mark.xdist_group("shared")

ROOT = Path(__file__).parents[2]
HTML = ("--formats", "html", "--today", "2026-11-25")

_ENDS = """\
import os, proctool.printing as printing
made = printing._printed
def ends(press, wanted):
    if wanted.asked.unit.id == "F-2":
        os._exit(9)
    return made(press, wanted)
printing._printed = ends
"""
"""Runs at the beginning of every Python that finds it: the process that is to print one manual ends."""


def pages(folder):
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


@pytest.fixture
def small(tmp_path):
    for name, text in library(8, seed=2).items():
        path = tmp_path / "library" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return tmp_path / "library"


def test_the_same_whoever_does_it(small, tmp_path):
    """Eight procedures on three units each: just enough for the proofs to be shared too."""
    one = ("--today", "2026-11-25", "--afresh", "--workers")
    said = [call("check", small, *one, many) for many in "123"]
    assert said[0] == said[1] == said[2] and "24 of 24 proven safe" in said[0].out and said[0].err == ""
    scope = ("--procedure", "p0", "--formats", "html,card")
    for many in "12":
        assert call("build", small, "--to", tmp_path / many, *scope, *one, many).code == 0
    assert len(pages(tmp_path / "1")) == 6
    assert pages(tmp_path / "1") == pages(tmp_path / "2")


def test_a_fault_in_one_manual_is_told_at_the_end(tmp_path, monkeypatch):
    source = written(tmp_path / "library")
    call("build", source, "--to", tmp_path / "out", *HTML)

    def faulty(view, pictures):
        if view.unit == "F-2":
            raise ZeroDivisionError("by nothing")
        return page(view, pictures)

    monkeypatch.setattr("proctool.printing.page", faulty)
    said = call("build", source, "--to", tmp_path / "out", *HTML, "--workers", "1", "--afresh")
    assert (said.code, said.err) == (1, "")
    assert (
        "failed  change-filter on F-2: a fault of proctool (ZeroDivisionError: by nothing); please report it."
        in said.out
    )
    assert set(pages(tmp_path / "out/change-filter")) == {"F-1.html"}
    monkeypatch.undo()
    assert call("build", source, "--to", tmp_path / "out", *HTML).code == 0
    assert set(pages(tmp_path / "out/change-filter")) == {"F-1.html", "F-2.html"}


def test_a_worker_that_ends_takes_no_other_manual_with_it(tmp_path):
    source = written(tmp_path / "library")
    call("build", source, "--to", tmp_path / "out", *HTML)
    old = pages(tmp_path / "out")
    (tmp_path / "hook").mkdir()
    (tmp_path / "hook/sitecustomize.py").write_text(_ENDS)
    path = os.pathsep.join([str(tmp_path / "hook"), str(ROOT)])
    asked = ("build", source, "--to", tmp_path / "out", *HTML, "--workers", "2", "--afresh")
    done = subprocess.run(
        [sys.executable, "-m", "proctool", *map(str, asked)],
        env={**os.environ, "PYTHONPATH": path},
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert (done.returncode, done.stderr) == (1, "")
    assert "failed  change-filter on F-2: its process ended in the middle of it" in done.stdout
    assert f"withdrawn  {tmp_path / 'out/change-filter/F-2.html'}" in done.stdout
    new = pages(tmp_path / "out")
    assert "change-filter/F-2.html" not in new
    assert new["change-filter/F-1.html"] == old["change-filter/F-1.html"]
    assert b"change-filter/F-2.html" not in new["index.html"]


def test_progress_on_a_terminal(small):
    """What is done, how much of it, and how long the rest will take."""
    ours, theirs = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-m", "proctool", "check", str(small), "--afresh", "--workers", "2"],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=theirs,
    ) as child:
        os.close(theirs)
        shown = b""
        while True:
            try:
                more = os.read(ours, 4096)
            except OSError:  # what a terminal says at its end
                break
            if not more:
                break
            shown += more
        os.close(ours)
    assert child.returncode == 0
    assert re.search(rb"proving  \[#+-+\] +\d+/24 +\d\d:\d\d:\d\d", shown)
    assert b"24/24" in shown

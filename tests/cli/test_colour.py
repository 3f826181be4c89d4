"""Colour helps on a terminal and is nowhere else."""

import os
import pty
import subprocess
import sys

import pytest

from tests.cli.plant import DEMO, run, written

ESCAPE = "\x1b["


def on_a_terminal(*args, **environment):
    """What a call writes when its output is a terminal."""
    ours, theirs = pty.openpty()
    clean = {k: v for k, v in os.environ.items() if k not in {"NO_COLOR", "FORCE_COLOR"}}
    with subprocess.Popen(
        [sys.executable, "-m", "proctool", *map(str, args)],
        cwd=DEMO.parent,
        env={**clean, "TERM": "xterm", **environment},
        stdout=theirs,
        stderr=theirs,
        stdin=subprocess.DEVNULL,
    ) as process:
        os.close(theirs)
        said = b""
        while True:
            try:
                piece = os.read(ours, 4096)
            except OSError:  # the other side is closed
                break
            if not piece:
                break
            said += piece
        process.wait(timeout=60)
    os.close(ours)
    return said.decode()


def test_a_terminal_shows_colour(tmp_path):
    assert ESCAPE in on_a_terminal("check", written(tmp_path))


@pytest.mark.parametrize("value", ["1", "yes"])
def test_unless_no_color_is_set(tmp_path, value):
    said = on_a_terminal("check", written(tmp_path), NO_COLOR=value)
    assert ESCAPE not in said
    assert "proven safe" in said


def test_the_words_say_the_same_without_colour(tmp_path):
    library = written(tmp_path, ("change-filter.yaml", "    open: first\n", "    open: frist\n"))
    plain = on_a_terminal("check", library, NO_COLOR="1").replace("\r\n", "\n")
    assert plain == run("check", library).out
    assert "error" in plain and "NOT PROVEN" in plain


def test_a_pipe_shows_none(tmp_path):
    assert ESCAPE not in run("check", written(tmp_path)).out


def test_a_narrow_terminal_gets_narrow_lines(tmp_path):
    library = written(tmp_path, ("change-filter.yaml", "    open: first\n", "    open: frist\n"))
    said = on_a_terminal("check", library, NO_COLOR="1", COLUMNS="50").replace("\r\n", "\n")
    rows = [line for line in said.splitlines() if line.startswith("  ")]
    assert 40 < max(map(len, rows)) <= 50
    wide = on_a_terminal("check", library, NO_COLOR="1", COLUMNS="200").replace("\r\n", "\n")
    assert wide == run("check", library).out

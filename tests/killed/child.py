"""A real `python -m proctool build` in a process of its own, and what is left of it."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
TODAY = "2026-11-25"
PATIENCE = 240
"""Seconds until a build must have come to its end, on a machine that is busy with other things."""


def written(library: Mapping[str, str], folder: Path) -> Path:
    """The files of a library in a folder."""
    for name, text in library.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


@dataclass(frozen=True, slots=True)
class Build:
    """A build of a library to a folder, with a store of its own."""

    library: Path
    to: Path
    cache: Path
    formats: str = "html"

    def begun(self, *options: str, first: Callable[[], None] | None = None) -> subprocess.Popen[str]:
        """The process, at the head of a session of its own; `first` is called in it before anything else."""
        call = (sys.executable, "-m", "proctool", "build", str(self.library), "--to", str(self.to))
        return subprocess.Popen(
            (*call, "--formats", self.formats, "--today", TODAY, *options),
            cwd=ROOT,
            env={**os.environ, "PROCTOOL_CACHE": str(self.cache)},
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
            preexec_fn=first,  # noqa: PLW1509 - a limit that only the child is to have
        )

    def done(self, *options: str, first: Callable[[], None] | None = None) -> tuple[int, str]:
        """Its exit code and what it said on the error stream, once it has come to its end."""
        with self.begun(*options, first=first) as process:
            _, said = process.communicate(timeout=PATIENCE)
        return process.returncode, said


def files(folder: Path) -> dict[str, bytes]:
    """What a folder holds, by path, but for what a killed build set aside."""
    found = (path for path in folder.rglob("*") if path.is_file() and not is_aside(path))
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def is_aside(path: Path) -> bool:
    """Whether a file is one that was written aside and never renamed."""
    return path.name.startswith(".proctool-") and path.suffix == ".part"


def left_of(session: int) -> list[int]:
    """The processes of a session that still run."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            # After the name, which may hold anything, in brackets: state, parent, group, session (proc(5)).
            state, _, _, of, *_ = stat.read_text().rpartition(")")[2].split()
        except OSError:
            continue  # it ended meanwhile
        if int(of) == session and state not in "ZX":
            found.append(int(stat.parent.name))
    return found


def all_gone(session: int, within: float) -> bool:
    """Whether every process of a session ends in so many seconds."""
    return comes(lambda: not left_of(session), within)


def comes(what: Callable[[], bool], within: float) -> bool:
    """Whether something comes about in so many seconds."""
    end = time.monotonic() + within
    while time.monotonic() < end:
        if what():
            return True
        time.sleep(0.02)
    return what()

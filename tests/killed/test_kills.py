"""Builds that are killed, stopped, or run out of room; and workers that end in the middle of a task."""

from __future__ import annotations

import os
import resource
import signal
from dataclasses import replace
from pathlib import Path

import pytest

from benchmarks.library import library
from proctool.crew import LostError, Pool, Work
from tests.killed.child import Build, all_gone, comes, files, left_of, written
from tests.killed.kills import mixed, run
from tests.killed.tasks import ends_at, ends_once

pytestmark = [
    pytest.mark.xdist_group("killed"),
    pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="processes are looked for in /proc"),
]

_WORKERS = 2
_PRINTING, _PROVING = 3, 8
"""Procedures, each on three units: few are proven without workers, so that these are met while they print."""


def _build(tmp_path: Path, procedures: int) -> Build:
    source = written(library(procedures, seed=1), tmp_path / "library")
    return Build(source, tmp_path / "to", tmp_path / "kept")


def _has_workers(session: int) -> bool:
    # The build itself, the server that workers are forked from, the tracker of what they share, and they.
    return len(left_of(session)) >= 3 + _WORKERS


def _lost(item: int, error: LostError) -> int:
    return -item


class TestKills:
    def test_a_killed_build_leaves_whole_files_and_the_next_one_is_that_from_nothing(
        self, tmp_path: Path
    ) -> None:
        came = run(times=12, each=12, procedures=2, seed=1, folder=tmp_path)
        assert came.faults == ()
        assert came.kills + came.ended == 12 and came.kills

    def test_half_a_file_and_a_missing_one_would_be_seen(self) -> None:
        old, new = {"a": b"old", "b": b"same", "gone": b"x"}, {"a": b"new!", "b": b"same", "more": b"y"}
        assert mixed(old, old, new) == mixed(new, old, new) == mixed({**new, "a": b"old"}, old, new) == []
        assert mixed({"a": b"ne", "b": b"same"}, old, new) == ["a is of neither edition"]
        assert mixed({"a": b"old"}, old, new) == ["b is gone"]


class TestStops:
    @pytest.mark.parametrize("procedures", [_PRINTING, _PROVING])
    def test_a_stop_from_the_keyboard_ends_all_and_is_said(self, tmp_path: Path, procedures: int) -> None:
        build = _build(tmp_path, procedures)
        with build.begun("--workers", str(_WORKERS)) as process:
            assert comes(lambda: _has_workers(process.pid), 60)
            os.killpg(process.pid, signal.SIGINT)  # as a terminal does: all of them hear it
            _, said = process.communicate(timeout=30)
        assert process.returncode == 130
        assert said.startswith("proctool: Stopped. What was done is kept") and "Traceback" not in said
        assert all_gone(process.pid, 5)
        if procedures == _PRINTING:
            assert build.done("--workers", "1")[0] == 0
            fresh = Build(build.library, tmp_path / "fresh", build.cache)
            assert fresh.done("--afresh", "--workers", str(_WORKERS))[0] == 0
            assert files(build.to) == files(fresh.to)

    @pytest.mark.parametrize("procedures", [_PRINTING, _PROVING])
    def test_workers_end_with_a_build_that_is_killed(self, tmp_path: Path, procedures: int) -> None:
        with _build(tmp_path, procedures).begun("--workers", str(_WORKERS)) as process:
            assert comes(lambda: _has_workers(process.pid), 60)
            process.kill()
            process.communicate(timeout=10)
        assert process.returncode == -signal.SIGKILL
        assert all_gone(process.pid, 5)


class TestLostWorkers:
    @pytest.mark.parametrize("fatal", [0, 7, 29])
    def test_only_the_item_that_ends_workers_is_lost(self, fatal: int) -> None:
        came = list(Pool(_WORKERS).each(Work(ends_at, fatal, lambda item, _: -item - 1), range(30)))
        assert came == [-item - 1 if item == fatal else 2 * item for item in range(30)]

    def test_what_was_under_way_when_another_ended_is_done_again(self, tmp_path: Path) -> None:
        assert list(Pool(_WORKERS).each(Work(ends_once, tmp_path / "mark", _lost), range(12))) == list(
            range(0, 24, 2)
        )


class TestNoRoom:
    def test_files_that_no_longer_fit_are_said_and_the_old_ones_stay_whole(self, tmp_path: Path) -> None:
        build = _build(tmp_path, 1)
        assert build.done("--workers", "1")[0] == 0
        old = files(build.to)
        written(library(1, seed=2), build.library)
        least = min(map(len, old.values()))
        code, said = build.done(
            "--workers",
            "1",
            first=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (least // 2, least // 2)),
        )
        assert code == 2 and "Traceback" not in said
        assert said.startswith(f"proctool: Cannot write to {build.to}") and "File too large" in said
        assert files(build.to) == old and not list(build.to.rglob(".proctool-*"))

    @pytest.mark.parametrize("place", ["plain", "plain/to"])
    def test_a_plain_file_where_the_folder_should_be_is_said(self, tmp_path: Path, place: str) -> None:
        (tmp_path / "plain").write_text("mine", encoding="utf-8")
        code, said = replace(_build(tmp_path, 1), to=tmp_path / place).done("--workers", "1")
        assert code == 2 and "Traceback" not in said
        assert said.startswith(f"proctool: Cannot write to {tmp_path / 'plain'}")
        assert (tmp_path / "plain").read_text(encoding="utf-8") == "mine"

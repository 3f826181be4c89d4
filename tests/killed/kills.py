"""Builds killed at moments drawn at random: `python -m tests.killed.kills --times 100`.

One output folder and one store live through several editions of a library. Each edition's build is killed a
few times over what the edition before left; then it is let come to its end, and must say what a build from
nothing says.
"""

from __future__ import annotations

import argparse
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from random import Random
from typing import TypeAlias

from benchmarks.library import library
from tests.killed.child import PATIENCE, Build, files, is_aside, written

_SAFE = "  - use: make-safe\n"
_CARDS = "html,card"
_GLANCE = 0.0005
"""Seconds between two looks at what a build has touched."""


Times: TypeAlias = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Killed:
    """What came of all kills."""

    kills: int
    among_files: int
    """Kills after which some files were of the old edition and others of the new."""
    in_a_file: int
    """Kills in the middle of writing a file: it was left aside."""
    ended: int
    """Builds that were to be killed but came to their end before."""
    faults: tuple[str, ...]


def edition(number: int, procedures: int) -> dict[str, str]:
    """The files of an edition; in the odd ones the last procedure is refused, and its manuals go."""
    made = library(procedures, seed=number)
    if number % 2:
        last = next(name for name in made if name.endswith(f"/p{procedures - 1}.yaml"))
        made[last] = made[last].replace(_SAFE, "", 1)
    return made


def run(times: int, each: int, procedures: int, seed: int, folder: Path) -> Killed:
    """Kill builds so many times, so many `each` edition; with the last of several, cards are built too."""
    rng = Random(seed)  # noqa: S311 - moments, not secrets
    editions = -(-times // each)
    first = written(edition(0, procedures), folder / "0")
    code, said = Build(first, folder / "to", folder / "kept").done("--workers", "2")
    if code != 0:
        raise RuntimeError(f"the first edition was not built: {said}")
    kills = among = within = ended = 0
    faults: list[str] = []
    old, aside = files(folder / "to"), set[Path]()
    for number in range(1, editions + 1):
        source = written(edition(number, procedures), folder / str(number))
        formats = _CARDS if number == editions > 1 else "html"
        Build(source, folder / f"new-{number}", folder / "none", formats).done("--afresh", "--workers", "2")
        new = files(folder / f"new-{number}")
        build = Build(source, folder / "to", folder / "kept", formats)
        for _ in range(min(each, times - (number - 1) * each)):
            watched, moment = rng.choice((_pages, _journal)), rng.randrange(10)
            later = rng.choice((0, rng.random() * 0.004))
            killed = _killed(build, partial(watched, build), moment, later, rng.choice(("1", "2")))
            kills, ended = kills + killed, ended + (not killed)
            found = files(folder / "to")
            aside, before = set(filter(is_aside, build.to.rglob("*"))), aside
            within += bool(aside - before)
            among += any(found.get(n) != old.get(n) for n in new) and found != new
            faults += [f"edition {number}, moment {moment}: {fault}" for fault in mixed(found, old, new)]
            if not killed:  # nothing would be left to write: what the edition before left is put back
                _put_back(old, build.to)
        code, said = build.done("--workers", "1")
        if code != number % 2 or files(folder / "to") != new:
            faults.append(f"edition {number}: after it came to its end it is not that from nothing. {said}")
        old = new
    return Killed(kills, among, within, ended, tuple(faults))


def mixed(found: Mapping[str, bytes], old: Mapping[str, bytes], new: Mapping[str, bytes]) -> list[str]:
    """What is wrong with the files of a killed build: each is to be that of one of the two editions."""
    halves = [
        f"{name} is of neither edition"
        for name, data in found.items()
        if data not in (old.get(name), new.get(name))
    ]
    return halves + [f"{name} is gone" for name in old.keys() & new.keys() - found.keys()]


def _killed(build: Build, look: Callable[[], Times], moment: int, later: float, workers: str) -> bool:
    """Kill a build some seconds after so many changes of what is looked at; False where it ended before."""
    with build.begun("--workers", workers) as process:
        before, changes = look(), 0
        end = time.monotonic() + PATIENCE
        while process.poll() is None and changes <= moment and time.monotonic() < end:
            now = look()
            changes, before = changes + (now != before), now
            time.sleep(_GLANCE)
        time.sleep(later)
        process.kill()
        process.stdout.close()
        process.stderr.close()
        return process.wait() == -signal.SIGKILL


def _put_back(old: Mapping[str, bytes], to: Path) -> None:
    shutil.rmtree(to)
    for name, data in old.items():
        (to / name).parent.mkdir(parents=True, exist_ok=True)
        (to / name).write_bytes(data)


def _pages(build: Build) -> Times:
    """When the folders of the pages were last changed: a file is set aside, or takes its place."""
    return _times((build.to, *filter(Path.is_dir, build.to.iterdir())))


def _journal(build: Build) -> Times:
    """When the journal of the store was."""
    return _times(build.cache.glob("*-wal"))


def _times(paths: Iterable[Path]) -> Times:
    try:
        return tuple(path.stat().st_mtime_ns for path in paths)
    except FileNotFoundError:  # it went meanwhile
        return ()


def main() -> int:
    """Kill as often as asked for, and say what came of it."""
    options = argparse.ArgumentParser(description="Kill builds at random moments.")
    options.add_argument("--times", type=int, default=100)
    options.add_argument("--each", type=int, default=10, help="Kills of one edition.")
    options.add_argument("--procedures", type=int, default=4)
    options.add_argument("--seed", type=int, default=0)
    asked = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        came = run(asked.times, asked.each, asked.procedures, asked.seed, Path(folder))
    sys.stdout.write(
        f"{came.kills} kills, {came.among_files} of them with files of both editions, "
        f"{came.in_a_file} in the middle of a file; {came.ended} builds ended before; "
        f"{len(came.faults)} faults\n"
    )
    sys.stdout.writelines(f"{fault}\n" for fault in came.faults)
    return bool(came.faults)


if __name__ == "__main__":
    sys.exit(main())

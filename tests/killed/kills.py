"""Builds killed at moments drawn at random: `python -m tests.killed.kills --times 100`.

One output folder and one store live through several editions of a library. Each edition's build is killed a
few times over what the edition before left; then it is let come to its end, and must say what a build from
nothing says.
"""

from __future__ import annotations

import argparse
import signal
import sys
import tempfile
import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from random import Random

from benchmarks.library import library
from tests.killed.child import PATIENCE, Build, files, written

_SAFE = "  - use: make-safe\n"
_CARDS = "html,card"
_GLANCE = 0.0005
"""Seconds between two looks at what a build has touched."""


@dataclass(frozen=True, slots=True)
class Killed:
    """What came of all kills."""

    kills: int
    among_files: int
    """Kills after which some files were of the old edition and others of the new."""
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
    kills = among = ended = 0
    faults: list[str] = []
    old = files(folder / "to")
    for number in range(1, editions + 1):
        source = written(edition(number, procedures), folder / str(number))
        formats = _CARDS if number == editions > 1 else "html"
        Build(source, folder / f"new-{number}", folder / "none", formats).done("--afresh", "--workers", "2")
        new = files(folder / f"new-{number}")
        build = Build(source, folder / "to", folder / "kept", formats)
        for _ in range(min(each, times - (number - 1) * each)):
            # The store knows more each time, so later builds of an edition touch less.
            moment = rng.randrange(rng.choice((4, 12, 2 * len(new) // 3)))
            killed = _killed(build, moment, rng.random() * 0.004, rng.choice(("1", "2")))
            kills, ended = kills + killed, ended + (not killed)
            found = files(folder / "to")
            among += any(found.get(n) != old.get(n) for n in new) and found != new
            faults += [f"edition {number}, moment {moment}: {fault}" for fault in mixed(found, old, new)]
        code, said = build.done("--workers", "1")
        if code != number % 2 or files(folder / "to") != new:
            faults.append(f"edition {number}: after it came to its end it is not that from nothing. {said}")
        old = new
    return Killed(kills, among, ended, tuple(faults))


def mixed(found: Mapping[str, bytes], old: Mapping[str, bytes], new: Mapping[str, bytes]) -> list[str]:
    """What is wrong with the files of a killed build: each is to be that of one of the two editions."""
    halves = [
        f"{name} is of neither edition"
        for name, data in found.items()
        if data not in (old.get(name), new.get(name))
    ]
    return halves + [f"{name} is gone" for name in old.keys() & new.keys() - found.keys()]


def _killed(build: Build, moment: int, later: float, workers: str) -> bool:
    """Kill a build a little after so many changes of what it writes; False where it ended before."""
    with build.begun("--workers", workers) as process:
        before, changes = _touched(build), 0
        end = time.monotonic() + PATIENCE
        while process.poll() is None and changes <= moment and time.monotonic() < end:
            now = _touched(build)
            changes, before = changes + (now != before), now
            time.sleep(_GLANCE)
        time.sleep(later)
        process.kill()
        process.stdout.close()
        process.stderr.close()
        return process.wait() == -signal.SIGKILL


def _touched(build: Build) -> tuple[int, ...]:
    """When the folders of a build were last changed, and the journal of its store."""
    try:
        folders = [build.to, *(path for path in build.to.iterdir() if path.is_dir())]
        return tuple(path.stat().st_mtime_ns for path in (*folders, *build.cache.glob("*-wal")))
    except FileNotFoundError:
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
        f"{came.kills} kills, {came.among_files} of them with files of both editions; "
        f"{came.ended} builds ended before; {len(came.faults)} faults\n"
    )
    sys.stdout.writelines(f"{fault}\n" for fault in came.faults)
    return bool(came.faults)


if __name__ == "__main__":
    sys.exit(main())

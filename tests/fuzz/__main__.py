"""Look for inputs that a surface cannot stand, for as long as one likes:

    python -m tests.fuzz SURFACE|all [--seconds N] [--seed N] [--by-chance]
    python -m tests.fuzz SURFACE --replay FILE

The search is guided by coverage where `atheris` is installed (the extra `fuzz`), else it goes by chance and
tries more inputs in that time. Inputs that lead further are kept in `build/fuzz/SURFACE/` for the next
search, those that fail as `failed-…`. What they mean changes with the words they are read by: a fault that is
mended gets a plain test of its own. The exit code is not 0 where an input failed.
"""

from __future__ import annotations

import argparse
import importlib.util
import random
import resource
import subprocess
import sys
import time
from contextlib import nullcontext
from hashlib import sha256
from pathlib import Path

from tests.fuzz.surface import Surface

_MEMORY = 2 * 1024**3
"""Bytes that the whole search may take up."""
_OUT = Path(__file__).parents[2] / "build" / "fuzz"


def main() -> int:
    """Search or replay, as the command line says."""
    guided = importlib.util.find_spec("atheris") is not None and "--by-chance" not in sys.argv
    with _instrumented() if guided else nullcontext():
        from tests.fuzz.surfaces import SURFACES
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz")
    parser.add_argument("surface", choices=["all", *SURFACES])
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--by-chance", action="store_true")
    parser.add_argument("--replay", type=Path, metavar="FILE")
    asked = parser.parse_args()
    if asked.surface == "all":
        again = [sys.executable, "-m", "tests.fuzz"]
        told = ["--seconds", str(asked.seconds), "--seed", str(asked.seed)]
        told += ["--by-chance"] if asked.by_chance else []
        return max(subprocess.run([*again, name, *told], check=False).returncode for name in SURFACES)
    surface = SURFACES[asked.surface]
    if asked.replay:
        _feed(surface, asked.replay.read_bytes())
        return 0
    folder = _OUT / asked.surface
    folder.mkdir(parents=True, exist_ok=True)
    surface.feed(b"")  # what is loaded at first use is not the input's doing
    resource.setrlimit(resource.RLIMIT_DATA, (_MEMORY, _MEMORY))
    if guided:
        _guided(surface, folder, asked.seconds, asked.seed)
    return _by_chance(surface, folder, asked.seconds, asked.seed)


def _instrumented():
    import atheris

    return atheris.instrument_imports(include=["proctool"])


def _feed(surface: Surface, data: bytes) -> None:
    from tests.fuzz.bounds import within

    with within(surface.seconds):
        surface.feed(data)


def _guided(surface: Surface, folder: Path, seconds: float, seed: int) -> None:
    """Hand over to the fuzzer, which ends the process."""
    import atheris

    options = [f"-max_total_time={int(seconds)}", f"-seed={seed}", f"-max_len={surface.size}"]
    options += [f"-artifact_prefix={folder}/failed-", "-len_control=0", "-verbosity=0", str(folder)]
    sys.stderr.write(f"fuzz: {folder.name}, {seconds:g} s, guided by coverage\n")
    atheris.Setup([sys.argv[0], *options], lambda data: _feed(surface, data))
    atheris.Fuzz()


def _by_chance(surface: Surface, folder: Path, seconds: float, seed: int) -> int:
    """Inputs by chance, the same for the same seed; the first that fails is kept and ends the search."""
    chance = random.Random(seed)  # noqa: S311 - the same inputs for the same seed
    end, count = time.monotonic() + seconds, 0
    while time.monotonic() < end:
        data = chance.randbytes(chance.randrange(4, surface.size))
        try:
            _feed(surface, data)
        except BaseException:
            file = folder / f"failed-{sha256(data).hexdigest()[:16]}"
            file.write_bytes(data)
            sys.stderr.write(f"fuzz: kept {file}\n")
            raise
        count += 1
    sys.stderr.write(f"fuzz: {folder.name}: {count:,} inputs by chance pass\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())

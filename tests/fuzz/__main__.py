"""Look for inputs that a surface cannot stand, for as long as one likes:

    python -m tests.fuzz SURFACE [--seconds N] [--seed N]    guided by coverage where `atheris` is installed
    python -m tests.fuzz SURFACE --replay FILE               one input again

Inputs that fail are written to `build/fuzz/`; one that showed a fault of proctool is kept in
`tests/fuzz/failed/SURFACE/` once that is mended, and the tests try it for good. Exit code 1 where one failed.
"""

from __future__ import annotations

import argparse
import importlib.util
import random
import resource
import sys
import time
from hashlib import sha256
from pathlib import Path

_MEMORY = 2 * 1024**3
"""Bytes that the whole search may take up."""
_OUT = Path(__file__).parents[2] / "build" / "fuzz"


def main() -> int:
    """Search or replay, as the command line says."""
    guided = importlib.util.find_spec("atheris") is not None
    if guided:
        import atheris

        with atheris.instrument_imports(include=["proctool"]):
            from tests.fuzz.surfaces import SURFACES
    else:
        from tests.fuzz.surfaces import SURFACES
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz")
    parser.add_argument("surface", choices=SURFACES)
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--replay", type=Path)
    asked = parser.parse_args()
    surface = SURFACES[asked.surface]
    if asked.replay:
        surface.feed(asked.replay.read_bytes())
        print(f"fuzz: {asked.replay} passes")
        return 0
    folder = _OUT / asked.surface
    folder.mkdir(parents=True, exist_ok=True)
    surface.feed(b"")
    resource.setrlimit(resource.RLIMIT_DATA, (_MEMORY, _MEMORY))
    if guided:
        _guided(surface, folder, asked.seconds, asked.seed)
    return _blind(surface, folder, asked.seconds, asked.seed)


def _guided(surface, folder: Path, seconds: float, seed: int) -> None:
    """Hand over to the fuzzer, which ends the process; it keeps what found new ways in `folder`."""
    import atheris

    from tests.fuzz.bounds import within

    def feed(data: bytes) -> None:
        with within(surface.seconds):
            surface.feed(data)

    options = [f"-max_total_time={int(seconds)}", f"-seed={seed}", f"-max_len={surface.size}"]
    options += [f"-artifact_prefix={folder}/failed-", "-len_control=0", "-verbosity=1", str(folder)]
    atheris.Setup([sys.argv[0], *options], feed)
    atheris.Fuzz()


def _blind(surface, folder: Path, seconds: float, seed: int) -> int:
    """Inputs by chance, the same for the same seed; the first that fails is kept and ends the search."""
    from tests.fuzz.bounds import within

    chance, end, count = random.Random(seed), time.monotonic() + seconds, 0
    while time.monotonic() < end:
        data = chance.randbytes(chance.randrange(4, surface.size))
        count += 1
        try:
            with within(surface.seconds):
                surface.feed(data)
        except BaseException:
            file = folder / f"failed-{sha256(data).hexdigest()[:16]}"
            file.write_bytes(data)
            print(f"fuzz: kept {file}", file=sys.stderr)
            raise
    print(f"fuzz: {count:,} inputs pass")
    return 0


if __name__ == "__main__":
    sys.exit(main())

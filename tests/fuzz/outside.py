"""Feed surfaces in a process that is watched: what it opens, starts, or asks of a network, and its memory.

    python -m tests.fuzz.outside SHARE

feeds each surface with one in SHARE of its inputs, and writes a line for each thing done where it may not be.
"""

from __future__ import annotations

import os
import random
import resource
import sys
import tempfile

from tests.fuzz.bounds import within
from tests.fuzz.seeds import ROOT
from tests.fuzz.surfaces import SURFACES

MEMORY = 1024**3
"""Bytes that all inputs together may take up besides what is taken up before the first."""
_READ = tuple(os.path.realpath(place) for place in (sys.prefix, sys.base_prefix, sys.base_exec_prefix, ROOT))
_OWN = os.path.join(os.path.realpath(tempfile.gettempdir()), "fuzz-")  # noqa: PTH118 - begins names, is none
_OUTSIDE = "/outside/"
"""In a folder of ours, what lies beside the library: put there by the harness, never to be read."""
_CHANGES = (
    "os.remove",
    "os.rename",
    "os.rmdir",
    "os.mkdir",
    "os.link",
    "os.symlink",
    "os.chmod",
    "os.truncate",
)
_NEVER = (
    "subprocess.",
    "socket.",
    "os.system",
    "os.exec",
    "os.posix_spawn",
    "os.fork",
    "os.spawn",
    "urllib.",
    "ctypes.",
)
_WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND


def watch() -> list[str]:
    """From now on note what this process does where it may not; there is no end to it."""
    seen: list[str] = []

    def look(event: str, said: tuple[object, ...]) -> None:
        if event.startswith(_NEVER):
            seen.append(event)
        elif event == "open" and isinstance(said[0], str | bytes):
            place, writes = os.path.realpath(os.fsdecode(said[0])), bool(int(str(said[2])) & _WRITING)
            ours = place.startswith(_OWN) and (writes or _OUTSIDE not in place)
            if not ours and (writes or not place.startswith(_READ)):
                seen.append(f"{'write' if writes else 'read'} {place}")
        elif event in _CHANGES:
            at = said[1] if event in {"os.link", "os.symlink"} else said[0]
            folder, name = os.path.split(at) if isinstance(at, str) else ("", "")
            place = os.path.join(os.path.realpath(folder), name)  # noqa: PTH118 - a link itself is meant
            if folder and not place.startswith(_OWN):  # a name alone is below a folder that is open
                seen.append(f"{event} {place}")

    sys.addaudithook(look)
    return seen


def main(share: int) -> int:
    """Feed every surface; the exit code is 1 where anything was done that may not be."""
    for surface in SURFACES.values():
        surface.feed(b"")
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    resource.setrlimit(resource.RLIMIT_DATA, (before + MEMORY, before + MEMORY))
    seen, chance = watch(), random.Random(1)  # noqa: S311 - the same inputs each time
    for surface in SURFACES.values():
        for _ in range(1 + surface.examples // share):
            data = chance.randbytes(chance.randrange(4, surface.size))
            with within(surface.seconds):
                surface.feed(data)
    sys.stdout.write("".join(f"{line}\n" for line in seen))
    return 1 if seen else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1])))

"""Commands and outputs that a page shows, and what the commands really print."""

import re
import shlex
from dataclasses import dataclass
from pathlib import Path

from click.testing import CliRunner

from proctool.cli.main import main

TODAY = ("--today", "2026-11-25")
"""A day on which no inspection of the demonstration library is overdue."""
DATED = {"adapt", "build", "check", "draft"}
"""Commands that the day matters to."""
_BLOCK = re.compile(r"```\n\$ ((?:[^\n]*\\\n)*[^\n]*)\n(.*?)```", re.DOTALL)
_FILE = re.compile(r"```yaml\n# (\S+)\n(.*?)```", re.DOTALL)


@dataclass(frozen=True)
class Shown:
    """A command as it stands on a page, and the output below it."""

    command: str
    output: str

    @property
    def words(self) -> list[str]:
        """What is called, and with what."""
        return shlex.split(self.command.replace("\\\n", ""))

    def real(self) -> str:
        """What it prints here and now; proctool on that day."""
        name, *words = self.words
        if name == "cat":
            return Path(words[0]).read_text(encoding="utf-8")
        assert name == "proctool", self.command
        today = TODAY if words[0] in DATED else ()
        return CliRunner().invoke(main, [*words, *today]).output


def shown(page: str) -> list[Shown]:
    """Every command of a page that has its output below it."""
    return [Shown(command, output) for command, output in _BLOCK.findall(page) if output]


def files(page: str) -> dict[str, str]:
    """The files of a page by the names in their first lines."""
    return dict(_FILE.findall(page))


def differs(told: str, real: str) -> str:
    """The first piece of an output on a page that is not so; empty where all is. A line `…` is a gap."""
    first, *more = re.split(r"^…\n", told, flags=re.MULTILINE)
    if not real.startswith(first) or (not more and real != first):
        return first
    place = len(first)
    for piece in more:
        at = f"\n{real}".find(f"\n{piece}", place)
        if at < 0:
            return piece
        place = at + len(piece)
    return "" if not more or real.endswith(more[-1]) else more[-1]

"""A new procedure that opens nothing, as a file: its head, and what is done, step by step."""

from __future__ import annotations

import re
from collections.abc import Sequence

from proctool.draft.writing.emit import entries, scalar
from proctool.draft.writing.written import Task

_TITLE = re.compile(r"^title: .*$", re.MULTILINE)


def procedure_file(name: str, title: str, unit: str, people: Sequence[str], steps: Sequence[str]) -> str:
    """The text of the file."""
    lines = [f"procedure: {scalar(name)}", f"title: {scalar(title)}", f"units: [{scalar(unit, inline=True)}]"]
    if people:
        lines.append(f"people: [{', '.join(scalar(word, inline=True) for word in people)}]")
    # Ids of its own for every step, so that two texts that begin alike do not clash.
    tasks = [Task(text=text, id=f"step-{number}") for number, text in enumerate(steps, start=1)]
    return "\n".join((*lines, "", "steps:", *entries(tasks, "  "))) + "\n"


def retitled(text: str, title: str) -> str:
    """A procedure's file under another title."""
    return _TITLE.sub(lambda _: f"title: {scalar(title)}", text, count=1)

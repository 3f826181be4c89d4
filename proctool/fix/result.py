"""What fixing a library comes to."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.fix.fixes import Proposal
from proctool.fix.sheet import Sheet
from proctool.report.columns import harmless

Files = ReadOnly[str, bytes]
"""Content by path in the library."""


@dataclass(frozen=True, slots=True, order=True)
class Note:
    """What was fixed, or was not and why, and where."""

    file: str
    line: int
    rule: str
    told: str

    def __str__(self) -> str:
        return f"{harmless(self.file)}:{self.line}: {self.told} ({self.rule})"


@dataclass(frozen=True, slots=True)
class Fixed:
    """A library with all that can be fixed surely. Nothing is written yet."""

    before: Files
    """The files that change, as they were."""
    after: Files
    """The same files, fixed."""
    done: tuple[Note, ...] = ()
    """What was fixed, by the line where it stood."""
    left: tuple[Note, ...] = ()
    """What has a fix and was not fixed, and why, by the line where it stands now."""


def note(proposal: Proposal, line: int | None = None) -> Note:
    """What to tell of a proposal, at the line of its finding or at another."""
    told = proposal.edit.told if proposal.edit is not None else proposal.unsure
    span = proposal.finding.span
    return Note(proposal.file, line or (span.line if span is not None else 1), proposal.finding.rule, told)


def note_after(proposal: Proposal, sheet: Sheet, made: Sequence[Proposal]) -> Note:
    """What to tell of a proposal, at the line where it stands when some edits of its file are made."""
    was = note(proposal)
    edits = (p.edit for p in made if p.edit is not None and p.file == proposal.file)
    more = sum(
        edit.text.count("\n") - sheet.text.count("\n", edit.start, edit.end)
        for edit in edits
        if sheet.line_of(edit.end) < was.line
    )
    return note(proposal, was.line + more)


def notes(made: Iterable[Proposal]) -> tuple[Note, ...]:
    """What to tell of proposals, each at the line of its finding."""
    return tuple(map(note, made))

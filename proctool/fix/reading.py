"""Faults that keep a file from being read, fixed in one file by itself.

The reader stops at the first fault of some kinds, so a file is read again after each round. In between the
values stand on their line, in a way that cannot be misread: so lines keep their numbers, and each round finds
its places in the text as it was.
"""

from __future__ import annotations

from proctool.fix.cut_text import TOO_MANY
from proctool.fix.edit import Edit, apart, apply, sound
from proctool.fix.fixes import READING, Proposal, proposals
from proctool.fix.sheet import Sheet, with_text

MAX_ROUNDS = 200
"""A file with more cut sentences than this is better read by a person."""
_IN_THE_WAY = "another fault of this file must be put right first"


def readable(sheet: Sheet) -> tuple[Sheet, list[Proposal], list[Proposal]]:
    """The file with its faults of reading fixed, what was fixed, and what was not and why.

    A file that still cannot be read when all sure faults are fixed is not changed.
    """
    made: list[Proposal] = []
    while True:
        round_, left = _one_pass(sheet)
        edits = [p.edit for p in round_ if p.edit is not None]
        if not edits:
            return sheet, made, left
        if not sound(sheet, edits):
            return sheet, made, [*(p.refused(_IN_THE_WAY) for p in round_), *left]
        sheet = with_text(sheet, apply(sheet.text, edits))
        made += round_


def _one_pass(sheet: Sheet) -> tuple[list[Proposal], list[Proposal]]:
    """What can be fixed with at most one value on each line, and what is unsure after that."""
    made: dict[int, list[Proposal]] = {}
    trial, found = sheet, list[Proposal]()
    for _ in range(MAX_ROUNDS):
        found = list(proposals(READING, trial, trial.faults))
        fresh: dict[int, list[Proposal]] = {}
        sure = apart(p.edit for p in found if p.edit is not None)
        for proposal in found:
            if proposal.edit in sure and proposal.edit is not None:
                line = trial.line_of(proposal.edit.start)
                if line not in made:
                    moved = _moved(proposal.edit, sheet.starts[line - 1] - trial.starts[line - 1])
                    fresh.setdefault(line, []).append(Proposal(proposal.finding, moved))
        if not fresh:
            return [p for line in made.values() for p in line], [p for p in found if p.edit is None]
        made |= fresh
        edits = (p.edit for line in made.values() for p in line if p.edit is not None)
        trial = with_text(sheet, apply(sheet.text, edits, lambda edit: edit.inline))
    return [], [p.refused(TOO_MANY) for p in found]


def _moved(edit: Edit, by: int) -> Edit:
    return Edit(edit.start + by, edit.end + by, edit.value, edit.text, edit.told)

"""All fixes over a library, tried on a copy: what is kept proves the same as before; nothing is written."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, field

from proctool.fix.edit import apart, apply, sound
from proctool.fix.fixes import PROVING, READING, Proposal, proposals
from proctool.fix.harm import harm, lost_proof
from proctool.fix.reading import readable
from proctool.fix.result import Files, Fixed, Note, note_after, notes
from proctool.fix.sheet import Sheet, data_of, read
from proctool.fix.sift import sifted
from proctool.model.document import Kind
from proctool.results import Check
from proctool.source import decode
from proctool.source import read as documents_of

_TOO_MUCH = "the edit would change more than it should"


@dataclass(slots=True)
class _Job:
    """A library being fixed: its files as they are by now, and what is to be told."""

    files: dict[str, bytes]
    check: Callable[[Files], Check]
    asked: frozenset[str]
    """The files that are to be fixed."""
    locked: ReadOnly[str, str]
    """Files that cannot be written, and why."""
    done: list[Note] = field(default_factory=list)
    left: list[Note] = field(default_factory=list)
    _known: dict[frozenset[tuple[str, bytes]], Check] = field(default_factory=dict)

    def proven(self, changed: Files) -> Check:
        """What the library proves with some files changed; the same files are checked once."""
        files = {**self.files, **changed}
        key = frozenset(files.items())
        if key not in self._known:
            self._known[key] = self.check(files)
        return self._known[key]

    def allowed(self, proposal: Proposal) -> Proposal:
        """A proposal as it is, or without its edit where its file is locked."""
        why = self.locked.get(proposal.file)
        return proposal if why is None or proposal.edit is None else proposal.refused(why)


def fix_library(
    files: Files,
    check: Callable[[Files], Check],
    *,
    focus: str | None = None,
    locked: ReadOnly[str, str] | None = None,
) -> Fixed:
    """The library with all that can be fixed surely; a fix after which anything proves otherwise is left out.

    `check` tells what files prove, the whole library each time. With `focus` only that file is fixed; files
    in `locked` are not, for the reason given.
    """
    asked = frozenset({focus} if focus is not None else files)
    job = _Job(dict(files), check, asked & files.keys(), locked or {})
    _fix_reading(job)
    while _fix_proving(job):
        pass
    changed = [file for file in files if files[file] != job.files[file]]
    return Fixed(
        {file: files[file] for file in changed},
        {file: job.files[file] for file in changed},
        tuple(sorted(job.done)),
        tuple(sorted(job.left)),
    )


def _fix_reading(job: _Job) -> None:
    """Fix what keeps files from being read: each file by itself, then all are proven together."""
    fixed: dict[str, list[Proposal]] = {}
    changed: dict[str, bytes] = {}
    for file in sorted(job.asked):
        sheet = read(file, job.files[file], {})
        if sheet is None or not any(fault.rule in READING for fault in sheet.faults):
            continue
        now, made, left = readable(sheet)
        if made and file not in job.locked:
            fixed[file], changed[file] = made, data_of(now.text, job.files[file])
        else:
            left = [*map(job.allowed, made), *left]
        job.left += notes(left)
    if not fixed:
        return
    before = job.proven({})
    kept, refused = sifted(
        list(fixed), lambda batch: lost_proof(before, job.proven({file: changed[file] for file in batch}))
    )
    job.files |= {file: changed[file] for file in kept}
    job.done += (note for file in kept for note in notes(fixed[file]))
    job.left += (note for file, why in refused for note in notes(p.refused(why) for p in fixed[file]))


def _fix_proving(job: _Job) -> bool:
    """Fix what the library says; whether edits that stood on one place are left for another round."""
    before = job.proven({})
    sheets = _sheets(job)
    found = [
        job.allowed(proposal)
        for file, sheet in sheets.items()
        for proposal in proposals(PROVING, sheet, (f for f in before.findings if f.file == file))
    ]
    sure = [p for p in found if p.edit is not None]
    first = _first(sure)

    def fault(batch: Sequence[Proposal]) -> str | None:
        changed = _changed(job, sheets, batch)
        return _TOO_MUCH if changed is None else harm(before, job.proven(changed))

    kept, refused = sifted(first, fault)
    job.files |= _changed(job, sheets, kept) or {}
    job.done += notes(kept)
    if kept and len(first) < len(sure):
        return True
    unsure = [*(p for p in found if p.edit is None), *(p.refused(why) for p, why in refused)]
    job.left += (note_after(p, sheets[p.file], kept) for p in unsure)
    return False


def _sheets(job: _Job) -> dict[str, Sheet]:
    """The files asked for that can be read."""
    documents, _ = documents_of(job.files)
    library = next((d for d in documents if d.kind is Kind.LIBRARY), None)
    tools = decode.library(library).tools if library is not None else {}
    found = ((d.file, read(d.file, job.files[d.file], tools)) for d in documents if d.file in job.asked)
    return {file: sheet for file, sheet in found if sheet is not None}


def _first(sure: Sequence[Proposal]) -> list[Proposal]:
    """The proposals whose edits overlap none before them in their file."""
    files = {p.file for p in sure}
    free = {
        (file, edit) for file in files for edit in apart(p.edit for p in sure if p.edit and p.file == file)
    }
    return [p for p in sure if (p.file, p.edit) in free]


def _changed(job: _Job, sheets: ReadOnly[str, Sheet], batch: Iterable[Proposal]) -> dict[str, bytes] | None:
    """The files that a batch of edits changes; None where an edit would change more than it means to."""
    made = [(p.file, p.edit) for p in batch if p.edit is not None]
    changed = {}
    for file in sorted({file for file, _ in made}):
        edits = [edit for its, edit in made if its == file]
        if not sound(sheets[file], edits):
            return None
        changed[file] = data_of(apply(sheets[file].text, edits), job.files[file])
    return changed

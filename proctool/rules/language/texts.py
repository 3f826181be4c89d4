"""The texts of procedures, blocks, units and the library as written, each once for all units.

Rules over texts read these. What a rule must know of parts it takes from the resolved plan instead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from proctool.model.document import Document, Mapping, Scalar
from proctool.model.procedure import Block, Entry, EntryKind, LibraryFile, Procedure, WrittenOtherwise
from proctool.model.span import Span
from proctool.model.words import CHECK_ACTS
from proctool.rules.language.sentences import Sentence, sentences
from proctool.rules.language.words import Words, words
from proctool.rules.tokens import Token

_CHECKING = CHECK_ACTS | {"inspect_seal"}
"""Acts whose sentence says what shall be found."""


class TextKind(StrEnum):
    """What a text is for."""

    INSTRUCTION = "instruction"
    CHECK = "check"
    READING = "reading"
    """What is read and written down."""
    NOTE = "note"
    STOP = "stop"
    """What to do where the job ends."""
    HAZARD = "hazard"
    HARM = "harm"
    AVOID = "avoid"


_KINDS = {
    EntryKind.DO: TextKind.INSTRUCTION,
    EntryKind.CHECK: TextKind.CHECK,
    EntryKind.READ: TextKind.READING,
}


@dataclass(frozen=True, slots=True)
class Text:
    """One text as written, and its sentences."""

    kind: TextKind
    written: Scalar
    sentences: tuple[Sentence, ...]
    acts: tuple[str, ...] = ()
    """The acts of its step as they are written."""

    def place(self, first: Token, last: Token | None = None) -> Span:
        """Where its tokens from one to another stand in the file."""
        return self.written.part(first.start, (last or first).end)


@dataclass(frozen=True, slots=True)
class Message:
    """A safety message as written; a field that is not there is None."""

    span: Span
    word: Scalar | None
    hazard: Scalar | None
    harm: Scalar | None
    avoid: Scalar | None


@dataclass(frozen=True, slots=True)
class TextSubject:
    """The texts of one file, as rules over texts look at them."""

    file: str
    procedure: str | None
    """The procedure, where it is the file of one."""
    span: Span
    texts: tuple[Text, ...]
    messages: tuple[Message, ...]
    words: Words
    facts: frozenset[str] = frozenset()
    """Names that stand for a quantity."""


def library_words(library: LibraryFile) -> Words | None:
    """The words of a library's language and its own; None where that language is not read."""
    known = words(library.language)
    return known.with_added(library.words) if known is not None else None


def subjects(
    library: LibraryFile,
    procedures: Iterable[Procedure],
    blocks: Iterable[Block],
    units: Iterable[Document],
    facts: frozenset[str],
) -> tuple[TextSubject, ...]:
    """The texts of every file; none where there are no words of the library's language.

    `units` are units and bases, `facts` the names of facts that any of them has.
    """
    known = library_words(library)
    if known is None:
        return ()
    found = [_Written(known, library.span, facts).library(library)]
    found += (_Written(known, block.span, facts).steps(block.entries) for block in blocks)
    found += (_Written(known, unit.name.span, facts).unit(unit.root) for unit in units)
    for procedure in procedures:
        written = _Written(known, procedure.span, facts, procedure.name)
        found.append(written.steps(procedure.entries).dangers(procedure.dangers))
    return tuple(one.subject() for one in found)


class _Written:
    """Gathers the texts of one file."""

    def __init__(self, known: Words, span: Span, facts: frozenset[str], procedure: str | None = None) -> None:
        self._known, self._span, self._facts, self._procedure = known, span, facts, procedure
        self._texts: list[Text] = []
        self._messages: list[Message] = []

    def subject(self) -> TextSubject:
        texts, messages = tuple(self._texts), tuple(self._messages)
        file = self._span.file
        return TextSubject(file, self._procedure, self._span, texts, messages, self._known, self._facts)

    def library(self, library: LibraryFile) -> _Written:
        for act, said in library.sentences or ():
            kind = TextKind.CHECK if act.text in _CHECKING else TextKind.INSTRUCTION
            for sentence in (value for _, value in said) if isinstance(said, Mapping) else (said,):
                if isinstance(sentence, Scalar):
                    self._add(kind, sentence, (act.text,))
        return self.dangers(library.dangers)

    def unit(self, root: Mapping) -> _Written:
        energies = root.get("energies")
        for _, energy in energies if isinstance(energies, Mapping) else ():
            warning = energy.get("warning") if isinstance(energy, Mapping) else None
            if isinstance(warning, Mapping):
                self._message(warning)
        return self

    def dangers(self, dangers: Mapping | None) -> _Written:
        for _, danger in dangers or ():
            if isinstance(danger, Mapping):
                self._message(danger)
        return self

    def steps(self, entries: Iterable[Entry]) -> _Written:
        for entry in entries:
            self._entry(entry)
        return self

    def _entry(self, entry: Entry) -> None:
        acts = tuple(act.verb.text for act in entry.acts)
        if entry.text is not None:
            self._add(_KINDS[entry.kind], entry.text, acts)
        for note in entry.notes:
            self._add(TextKind.NOTE, note)
        self.steps(entry.entries)
        for otherwise in _failing(entry.otherwise):
            self.steps(otherwise.entries)
            if otherwise.end_here is not None:
                self._add(TextKind.STOP, otherwise.end_here)

    def _message(self, written: Mapping) -> None:
        said = {key.text: value for key, value in written if isinstance(value, Scalar)}
        fields = (said.get(name) for name in ("word", "hazard", "harm", "avoid"))
        self._messages.append(Message(written.span, *fields))
        for kind in (TextKind.HAZARD, TextKind.HARM, TextKind.AVOID):
            if kind in said:
                self._add(kind, said[kind])

    def _add(self, kind: TextKind, written: Scalar, acts: tuple[str, ...] = ()) -> None:
        self._texts.append(Text(kind, written, sentences(written.text, self._known), acts))


def _failing(otherwise: WrittenOtherwise | None) -> Iterator[WrittenOtherwise]:
    """An `otherwise` and the `then` in it."""
    while otherwise is not None:
        yield otherwise
        otherwise = otherwise.then

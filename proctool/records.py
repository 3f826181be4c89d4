"""A library as written: its files read, their records, and what the rules make of them as a whole."""

from __future__ import annotations

from collections.abc import Callable
from collections.abc import Mapping as ReadOnly
from functools import cached_property, partial
from importlib import resources
from pathlib import Path

from proctool.around import texts
from proctool.focus import Focus
from proctool.model.digest import exact
from proctool.model.document import Document, Kind
from proctool.model.finding import Finding, Level
from proctool.model.procedure import Block, LibraryFile, Procedure, Profile
from proctool.model.written import blocks_used, figures_named
from proctool.resolve.units import Units, build_units
from proctool.rules.language.texts import TextSubject
from proctool.rules.levels import Levels, library_levels
from proctool.rules.rule import Rule
from proctool.rules.watched import Watchlist, named, watchlist
from proctool.source import decode, read
from proctool.source.figures import Refused, read_figure


class Records:
    """What the files of a library say, read once; each part is decoded when it is asked for."""

    def __init__(
        self,
        files: ReadOnly[str, bytes],
        *,
        root: Path | None = None,
        focus: str | None = None,
        findings: tuple[Finding, ...] = (),
        figure: Callable[[str], bytes | Refused] | None = None,
    ) -> None:
        """`figure` reads a picture by its path in the library, by default from below `root`."""
        self.root = root
        self.figure = figure or partial(read_figure, root)
        self._figures: dict[str, str | Refused] = {}
        self.focus = focus
        """The one file that PATH named; checks keep to it."""
        self.files = files
        """As they were read, by path in the library."""
        self.given_findings = findings
        """What was found when the files were collected."""

    @cached_property
    def _read(self) -> tuple[tuple[Document, ...], tuple[Finding, ...]]:
        documents, found = read(self.files)
        return documents, (*self.given_findings, *found)

    @property
    def documents(self) -> tuple[Document, ...]:
        """The files that could be read."""
        return self._read[0]

    @property
    def file_findings(self) -> tuple[Finding, ...]:
        """What is wrong with files as such."""
        return self._read[1]

    def of_kind(self, kind: Kind) -> dict[str, Document]:
        """The files of one kind by the name on their first line."""
        return {d.name.text: d for d in self.documents if d.kind is kind}

    @cached_property
    def faulty_files(self) -> tuple[str, ...]:
        """Files with errors in them, which are left out."""
        findings = (*self.file_findings, *self.units.findings)
        return tuple(sorted({f.file for f in findings if f.level is Level.ERROR}))

    @cached_property
    def file(self) -> LibraryFile | None:
        """What `library.yaml` says, or None where it could not be read."""
        found = tuple(self.of_kind(Kind.LIBRARY).values())
        return decode.library(found[0]) if found else None

    @property
    def name(self) -> str | None:
        """The name that `library.yaml` gives, or None where it could not be read."""
        return self.file.name if self.file is not None else None

    @cached_property
    def blocks(self) -> ReadOnly[str, Block]:
        """Blocks by name."""
        return {name: decode.block(d) for name, d in self.of_kind(Kind.BLOCK).items()}

    @cached_property
    def procedures(self) -> ReadOnly[str, Procedure]:
        """Procedures by name, in the order of their names."""
        return {name: decode.procedure(d) for name, d in sorted(self.of_kind(Kind.PROCEDURE).items())}

    @cached_property
    def units(self) -> Units:
        """Units on their bases."""
        return build_units(self.documents)

    @cached_property
    def levels(self) -> tuple[Levels, tuple[Finding, ...]]:
        """The levels of rules, and what is wrong with how they are set."""
        if self.file is None:
            return Levels(), ()
        return library_levels(self.file.profile, self.file.levels, self.profiles, self.house)

    @cached_property
    def house(self) -> ReadOnly[str, Rule]:
        """The library's own rules by id."""
        return named(self.file.house_rules) if self.file is not None else {}

    @cached_property
    def watchlist(self) -> Watchlist:
        """What the profile and the house rules ask of every run."""
        if self.file is None:
            return Watchlist()
        units = self.units
        whole = len(units.whole) == len(units.families)
        return watchlist(self.file, self.profiles, units.whole.values(), self.levels[0], whole=whole)

    @cached_property
    def profiles(self) -> ReadOnly[str, Profile]:
        """The profiles that proctool brings, and those of the library."""
        folder = resources.files("proctool.rules") / "profiles"
        brought, _ = read({file.name: file.read_bytes() for file in folder.iterdir()})
        own = self.of_kind(Kind.PROFILE)
        return {d.name.text: decode.profile(d) for d in (*brought, *own.values())}

    def figures_of(self, procedure: Procedure) -> dict[str, str | Refused]:
        """Each picture that a procedure or a block of it names: its digest, or why it cannot be shown."""
        blocks = blocks_used(procedure, self.blocks)
        return {file: self.figure_digest(file) for file in figures_named(procedure, blocks.values())}

    def figure_digest(self, file: str) -> str | Refused:
        """The digest of a picture, read once; or why it cannot be shown."""
        if file not in self._figures:
            read = self.figure(file)
            self._figures[file] = exact(read) if isinstance(read, bytes) else read
        return self._figures[file]

    @cached_property
    def kept_to(self) -> Focus:
        """What a check keeps to."""
        procedures = (procedure.span.file for procedure in self.procedures.values())
        return Focus(self.focus, frozenset(procedures), frozenset(self.unit_files.values()))

    @cached_property
    def unit_files(self) -> ReadOnly[str, str]:
        """The file of each unit by its name."""
        return {name: document.file for name, document in self.of_kind(Kind.UNIT).items()}

    @cached_property
    def texts(self) -> tuple[TextSubject, ...]:
        """Every text that people read, for the rules of wording."""
        return texts(self.file, self.procedures, self.blocks, self.documents, self.units.known)

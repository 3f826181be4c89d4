"""What the pages of a library are made from."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from proctool.model.survey import Survey
from proctool.render.item import Failure, Section
from proctool.render.manual import Manual, Trust

INDEX = "index.html"
RULES = "rules.html"

_PLAIN = re.compile(r"[^0-9A-Za-z_-]+")


class Standing(StrEnum):
    """What became of one procedure on one unit."""

    PROVEN = "proven"
    RECORDED = "recorded"
    """Proven, and departs from rules that the proof does not rest on; each departure is recorded."""
    DEVIATIONS = "deviations"
    DRAFT = "draft"
    FAULTY = "faulty"
    """Refused, though its steps are proven: it has other errors."""
    UNSAFE = "unsafe"
    UNPROVEN = "unproven"

    @property
    def usable(self) -> bool:
        """Whether there is a manual to work from."""
        return self in {Standing.PROVEN, Standing.RECORDED, Standing.DEVIATIONS}

    @property
    def refused(self) -> bool:
        """Whether nothing was written."""
        return self in {Standing.FAULTY, Standing.UNSAFE, Standing.UNPROVEN}


@dataclass(frozen=True, slots=True)
class Entry:
    """One procedure on one unit."""

    procedure: str
    title: str
    unit: str
    unit_title: str
    standing: Standing
    verdict: str
    """The verdict as its manual says it; empty where nothing was written."""
    files: tuple[tuple[str, str], ...]
    """Format and address of each file."""
    text: str = ""
    """What its manual says, for the search."""

    @property
    def address(self) -> str:
        """Where its manual is: the page, else the first of the other files; of one refused its line."""
        return self.files[0][1] if self.files else f"{INDEX}#{anchor('procedure', self.procedure)}"


@dataclass(frozen=True, slots=True)
class RulePage:
    """One rule and what is said of it; `bad` and `good` are YAML."""

    id: str
    level: str
    asks: str
    why: str
    source: str
    bad: str
    good: str

    @property
    def pack(self) -> str:
        """The part of its id before the stroke."""
        return self.id.partition("/")[0]

    @property
    def anchor(self) -> str:
        """Where it stands on the page of its pack."""
        return self.id.partition("/")[2]

    @property
    def address(self) -> str:
        """Its page and its place there."""
        return f"{pack_page(self.pack)}#{self.anchor}"


@dataclass(frozen=True, slots=True)
class Site:
    """A library as its pages show it."""

    library: str
    language: str
    entries: tuple[Entry, ...]
    units: tuple[Survey, ...]
    rules: tuple[RulePage, ...]
    own_rules: tuple[tuple[str, str], ...]
    """The library's own rules: id, and what each says where it is broken."""


def unit_page(unit: str) -> str:
    """The address of a unit's page."""
    return f"unit.{unit}.html"


def pack_page(pack: str) -> str:
    """The address of the page of a pack of rules."""
    return f"rules.{pack}.html"


def anchor(kind: str, name: str) -> str:
    """An anchor for a name: `family-KW`."""
    return f"{kind}-{_PLAIN.sub('-', name)}"


def standing(manual: Manual) -> Standing:
    """What became of a case that was written."""
    if manual.trust is Trust.PROVEN:
        return Standing.RECORDED if manual.departures else Standing.PROVEN
    return Standing(manual.trust.value)


def text_of(manual: Manual) -> str:
    """What a manual says, for the search: how it is called, its steps, what is needed, what is isolated."""
    said = [manual.document, manual.unit_title, *_steps(manual.sections)]
    said += [item for listing in manual.wanted for item in listing.items]
    said += [f"{row.energy} {row.isolator} {row.verified}" for row in manual.isolation]
    said += [sheet.values.caption for sheet in manual.sheets]
    return "\n".join(said)


def _steps(sections: Iterable[Section]) -> Iterator[str]:
    for section in sections:
        yield from (heading.text for heading in section.headings)
        for item in section.items:
            yield item.text
            yield from item.notes
            yield from _failure(item.failure)


def _failure(failure: Failure | None) -> Iterator[str]:
    while failure is not None:
        yield failure.text
        yield from _steps(failure.sections)
        failure = failure.then

"""The pages around the manuals of a library: what they are made from, and their files."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from proctool.draft.writing.survey import survey
from proctool.model.procedure import LibraryFile, Procedure
from proctool.model.unit import Unit
from proctool.model.verdict import Judgement, Verdict
from proctool.network.kept import network_of
from proctool.publish.atomic import write
from proctool.render.site.entries import INDEX, Entry, RulePage, Site, Standing
from proctool.render.site.pages import MARK, pages
from proctool.rules.explain import level_words
from proctool.rules.packs import RULES
from proctool.rules.page import parse

_HEAD = 1000
"""Bytes of a page within which its mark stands."""
_PATTERNS = (INDEX, "rules.html", "rules.*.html", "unit.*.html")
_REFUSED = {Verdict.UNSAFE: Standing.UNSAFE, Verdict.UNPROVEN: Standing.UNPROVEN}


@dataclass(frozen=True, slots=True)
class Shelf:
    """A library whose first page is wanted: its file, its units that could be read, its procedures."""

    file: LibraryFile
    units: tuple[Unit, ...]
    procedures: tuple[Procedure, ...]


def write_site(to: Path, shelf: Shelf, entries: Sequence[Entry], refused: Iterable[Judgement]) -> list[Path]:
    """Write the pages around the manuals, the first page last; what cases were refused, they say.

    Raises:
        OSError: the folder cannot be written to. Files already there stay whole.
    """
    told = (*entries, *(_refusal(shelf, judgement) for judgement in refused))
    site = Site(
        library=shelf.file.name,
        language=shelf.file.language,
        entries=told,
        units=tuple(survey(network_of(unit)) for unit in shelf.units),
        rules=rule_pages(),
        own_rules=tuple((f"house/{rule.name.text}", rule.say) for rule in shelf.file.house_rules),
    )
    written: list[Path] = []
    for address, page in pages(site).items():
        write(to / address, page.encode())
        written.append(to / address)
    return written


def withdraw_site(to: Path, kept: Iterable[Path] = ()) -> list[Path]:
    """Take away the pages of an earlier build but those `kept`; what is not ours by its mark stays."""
    found = {path for pattern in _PATTERNS for path in to.glob(pattern)} if to.is_dir() else set()
    stale = [path for path in sorted(found - set(kept)) if path.is_file() and _ours(path)]
    for path in stale:
        path.unlink()
    return stale


def rule_pages() -> tuple[RulePage, ...]:
    """Every rule as `explain` tells it."""
    told = ((rule, parse(rule)) for rule in RULES.values())
    return tuple(
        RulePage(rule.id, level_words(rule), p.asks, p.why, p.source, p.bad, p.good) for rule, p in told
    )


def _ours(path: Path) -> bool:
    if path.name == INDEX:
        return True
    with path.open("rb") as stream:
        return MARK in stream.read(_HEAD)


def _refusal(shelf: Shelf, judgement: Judgement) -> Entry:
    """The line of a case that nothing is written for."""
    titles = {procedure.name: procedure.title for procedure in shelf.procedures}
    units = {unit.id: unit.title for unit in shelf.units}
    return Entry(
        procedure=judgement.procedure,
        title=titles[judgement.procedure],
        unit=judgement.unit,
        unit_title=units.get(judgement.unit, ""),
        standing=_REFUSED.get(judgement.verdict, Standing.FAULTY),
        verdict="",
        files=(),
    )

"""The first page: search, units by family, procedures, each with its verdict."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from proctool.model.survey import Survey
from proctool.model.unit import Unit
from proctool.render import words
from proctool.render.html import document
from proctool.render.site.entries import Entry, Site, Standing, anchor, unit_page
from proctool.render.site.search import Place, index


@dataclass(frozen=True, slots=True)
class Row:
    """A unit on the first page, with how many of its procedures stand how."""

    unit: str
    title: str
    address: str
    counts: tuple[tuple[Standing, int], ...]


@dataclass(frozen=True, slots=True)
class Family:
    """The units of one family, and the procedures for any of them: anchor and title."""

    name: str
    anchor: str
    rows: tuple[Row, ...]
    procedures: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Titled:
    """One procedure on all its units."""

    title: str
    anchor: str
    entries: tuple[Entry, ...]


def first_page(site: Site) -> str:
    """The first page of a library."""
    procedures = tuple(_procedures(site.entries))
    standings = {entry.standing for entry in site.entries}
    return document(
        "site_index.html.j2",
        "screen",
        ("site.css",),
        "site.js",
        language=site.language,
        library=site.library,
        families=tuple(_families(site, procedures)),
        procedures=procedures,
        index=index(_places(site)),
        drafts=Standing.DRAFT in standings,
        refused=any(s.refused for s in standings),
    )


def _procedures(entries: Sequence[Entry]) -> Iterator[Titled]:
    ordered = sorted(entries, key=lambda e: (e.title, e.procedure, e.unit))
    for (title, name), group in groupby(ordered, key=lambda e: (e.title, e.procedure)):
        yield Titled(title, anchor("procedure", name), tuple(group))


def _families(site: Site, procedures: Sequence[Titled]) -> Iterator[Family]:
    """Each family with its units; units without one come last."""
    units = sorted((survey.unit for survey in site.units), key=lambda u: (not u.family, u.family or "", u.id))
    for name, group in groupby(units, key=lambda unit: unit.family or ""):
        members = tuple(group)
        ids = {unit.id for unit in members}
        here = (p for p in procedures if ids & {entry.unit for entry in p.entries})
        yield Family(
            name=name,
            anchor=anchor("family", name or "none"),
            rows=tuple(_row(unit, site.entries) for unit in members),
            procedures=tuple((p.anchor, p.title) for p in here),
        )


def _row(unit: Unit, entries: Sequence[Entry]) -> Row:
    counted = Counter(entry.standing for entry in entries if entry.unit == unit.id)
    counts = tuple((standing, counted[standing]) for standing in Standing if counted[standing])
    return Row(unit.id, unit.title, unit_page(unit.id), counts)


def _places(site: Site) -> Iterator[Place]:
    """What the search knows: manuals, units, their parts, and the rules."""
    for entry in sorted(site.entries, key=lambda e: (e.title, e.procedure, e.unit)):
        kind = "manual" if entry.standing.usable else "refused" if entry.standing.refused else "draft"
        yield Place(kind, f"{entry.title} · {entry.unit}", entry.unit_title, entry.address, entry.text)
    for survey in site.units:
        yield from _of_unit(survey)
    for rule in site.rules:
        yield Place("rule", rule.id, rule.asks.replace("`", ""), rule.address, f"{rule.why} {rule.source}")


def _of_unit(survey: Survey) -> Iterator[Place]:
    unit = survey.unit
    page = unit_page(unit.id)
    checked = unit.checked
    known = f"{checked.drawing} {checked.serials}" if checked else ""
    energies = words.listed(energy.name for energy in unit.energies.values())
    yield Place("unit", f"{unit.id} · {unit.title}", energies, page, f"{unit.family or ''} {known}")
    for part in unit.parts.values():
        title = f"{words.capital(part.label)} · {unit.id}"
        where = part.text("place") or words.capital(words.term(part.role))
        yield Place("part", title, where, f"{page}#{anchor('part', part.id)}", part.role.value)

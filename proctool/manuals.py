"""Cases to pages, and pages to files: render → publish."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from proctool.casework import figures
from proctool.model.digest import digest
from proctool.model.verdict import Judgement
from proctool.network.reach import Network
from proctool.publish.atomic import write
from proctool.render.html import Paper, page
from proctool.render.manual import Deviated, Manual
from proctool.render.pdf import card_pdf, pdf, tables_pdf
from proctool.render.site.entries import Entry, standing, text_of
from proctool.render.view import manual
from proctool.results import Built, Case
from proctool.site import Shelf, withdraw_site, write_site

ENDINGS = {"html": "html", "pdf": "pdf", "card": "card.pdf", "tables": "tables.pdf"}
"""What the name of a file ends in, by its format."""


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be written, and where to."""

    to: Path
    formats: frozenset[str]
    draft: bool
    lowered: tuple[str, ...]
    """Rules whose level the library lowered: every manual says so."""
    root: Path | None
    """Where pictures are read from."""
    shelf: Shelf | None
    """The library, where the pages around its manuals are wanted."""
    paper: Paper = Paper.A4


def write_manuals(order: Order, cases: Iterable[tuple[Case, bool]], left_out: tuple[str, ...]) -> Built:
    """Write the manual of each case; the flag says that it has errors, so that only a draft may be written.

    What was built before of a case that is refused now is taken away: nobody shall work from it.

    Raises:
        OSError: the folder cannot be written to. Files already there stay whole.
    """
    entries: list[Entry] = []
    around: list[Path] = []
    written: list[Path] = []
    withdrawn: list[Path] = []
    refused: list[Judgement] = []
    for case, faulty in cases:
        if case.plan is None or (faulty and not order.draft):
            refused.append(case.judgement)
            withdrawn += _withdraw(order.to / case.procedure / case.unit)
            continue
        pages, entry = _pages(order, case, faulty)
        for kind, data in pages.items():
            path = order.to / case.procedure / f"{case.unit}.{ENDINGS[kind]}"
            write(path, data)
            written.append(path)
        entries.append(entry)
    if order.shelf is not None:
        around += write_site(order.to, order.shelf, entries, refused) if entries else []
        withdrawn += withdraw_site(order.to, around)
        written += around[-1:]
    return Built(tuple(written), tuple(refused), left_out, tuple(withdrawn), tuple(around[:-1]))


def _withdraw(stem: Path) -> list[Path]:
    """Take away the pages of a case that an earlier build wrote."""
    return [path for ending in ENDINGS.values() for path in _gone(stem.with_name(f"{stem.name}.{ending}"))]


def _gone(path: Path) -> list[Path]:
    with suppress(FileNotFoundError, NotADirectoryError):
        path.unlink()
        return [path]
    return []


def shown(case: Case, *, draft: bool = False, lowered: tuple[str, ...] = (), live: bool = True) -> Manual:
    """All that the pages of a case show; `live` with what the scripts of a page need.

    Raises:
        ValueError: the case has no plan.
    """
    if case.plan is None or case.proof is None:
        raise ValueError(f"{case.procedure} on {case.unit} has no plan")
    return manual(
        case.plan,
        case.proof,
        case.judgement,
        Network(case.plan.unit),
        draft=draft,
        digest=digest(case.plan, case.judgement),
        tables=case.tables,
        deviations=tuple(
            Deviated(f.message, f.rule, f.step, d.why, d.instead, d.by, d.until) for f, d in case.departures
        ),
        lowered=lowered,
        run=case.run() if live else (),
    )


def _pages(order: Order, case: Case, faulty: bool) -> tuple[dict[str, bytes], Entry]:
    """The pages of one case by their format, and its line on the pages around them."""
    draft = order.draft or faulty
    view = shown(case, draft=draft, lowered=order.lowered, live="html" in order.formats)
    pictures = figures(case.plan, order.root)[0] if case.plan else {}
    written: dict[str, Callable[[], bytes]] = {
        "html": lambda: page(view, pictures).encode(),
        "pdf": lambda: pdf(view, pictures, order.paper),
        "card": lambda: card_pdf(view, order.paper),
    }
    if view.sheets:
        written["tables"] = lambda: tables_pdf(view, order.paper)
    pages = {kind: write() for kind, write in written.items() if kind in order.formats}
    entry = Entry(
        procedure=case.procedure,
        title=view.title,
        unit=case.unit,
        unit_title=view.unit_title,
        standing=standing(view),
        verdict=view.verdict,
        files=tuple((kind, f"{case.procedure}/{case.unit}.{ENDINGS[kind]}") for kind in pages),
        text=text_of(view),
    )
    return pages, entry

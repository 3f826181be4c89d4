"""Print a case: a task that anybody may do, for it hangs on nothing but what it is given."""

from __future__ import annotations

from collections.abc import Callable
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, field

from proctool.casework import Asked, Bench, carry
from proctool.kept.recipe import Recipe
from proctool.kept.store import Look
from proctool.kept.tool import sheets, tool
from proctool.model.digest import digest, exact
from proctool.network.kept import network_of
from proctool.render.html import Paper, page
from proctool.render.manual import Deviated, Manual
from proctool.render.pdf import card_pdf, pdf, tables_pdf
from proctool.render.site.entries import Entry, standing, text_of
from proctool.render.view import manual
from proctool.results import Case
from proctool.slipping import countersigned

ENDINGS = {"html": "html", "pdf": "pdf", "card": "card.pdf", "tables": "tables.pdf"}
"""What the name of a file ends in, by its format."""


@dataclass(frozen=True, slots=True)
class Press:
    """What all cases share that are printed."""

    bench: Bench
    lowered: tuple[str, ...]
    """Rules whose level the library lowered: every manual says so."""
    paper: Paper
    countersign: bool
    """Whether critical steps get a place for a second signature."""
    look: Look | None = None
    """Where pages of earlier runs may be found."""


@dataclass(frozen=True, slots=True)
class ToPrint:
    """One case that is to be printed."""

    asked: Asked
    kinds: frozenset[str]
    draft: bool
    pictures: ReadOnly[str, bytes] = field(default_factory=dict)
    """The bytes of those that can be shown, by their files."""


@dataclass(frozen=True, slots=True)
class Printed:
    """The pages of a case: their bytes and what they are kept under, by format."""

    entry: Entry | None
    pages: ReadOnly[str, tuple[str, bytes]] = field(default_factory=dict)
    failed: str = ""
    """Why there are none."""


def printed(press: Press, wanted: ToPrint) -> Printed:
    """The pages of a case, each taken from an earlier run if it would come out the same."""
    try:
        return _printed(press, wanted)
    except Exception as error:  # noqa: BLE001 - one such case must not take the others with it
        return Printed(
            None, failed=f"a fault of proctool ({type(error).__name__}: {error}); please report it"
        )


def _printed(press: Press, wanted: ToPrint) -> Printed:
    pictures, asked = wanted.pictures, wanted.asked
    told = ((file, said) for file, said in asked.figures.items() if isinstance(said, str))
    if changed := [file for file, said in told if exact(pictures.get(file)) != said]:
        # What was looked up or judged was another picture.
        return Printed(None, failed=f"`{changed[0]}` was changed meanwhile; build again")
    case = carry(press.bench, asked)
    if press.countersign and case.proven:
        case = countersigned(case, press.bench.budget)
    live = "html" in wanted.kinds
    view = shown(case, draft=wanted.draft, lowered=press.lowered, live=live)
    ways: dict[str, Callable[[], bytes]] = {
        "html": lambda: page(view, pictures).encode(),
        "pdf": lambda: pdf(view, pictures, press.paper),
        "card": lambda: card_pdf(view, press.paper),
    }
    if view.sheets:
        ways["tables"] = lambda: tables_pdf(view, press.paper)
    seen = {"proctool": tool(), "what it shows": exact(view), "pictures": exact(pictures)}
    pages: dict[str, tuple[str, bytes]] = {}
    for kind, write in ways.items():
        if kind not in wanted.kinds:
            continue
        paper = {} if kind == "html" else {"paper": press.paper.value, "setting of text": sheets()}
        key = Recipe(kind, {**seen, **paper}).key
        pages[kind] = key, (press.look.get(key) if press.look else None) or write()
    return Printed(_entry(case, view, pages), pages)


def _entry(case: Case, view: Manual, kinds: ReadOnly[str, object]) -> Entry:
    """The line of a case on the pages around the manuals."""
    return Entry(
        procedure=case.procedure,
        title=view.title,
        unit=case.unit,
        unit_title=view.unit_title,
        standing=standing(view),
        verdict=view.verdict,
        files=tuple((kind, f"{case.procedure}/{case.unit}.{ENDINGS[kind]}") for kind in kinds),
        text=text_of(view),
    )


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
        network_of(case.plan.unit),
        draft=draft,
        digest=digest(case.plan, case.judgement),
        tables=case.tables,
        deviations=tuple(
            Deviated(f.message, f.rule, f.step, d.why, d.instead, d.by, d.until) for f, d in case.departures
        ),
        lowered=lowered,
        run=case.run() if live else (),
    )

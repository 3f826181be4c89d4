"""The demo library on a site whose cases stand in every way there is; nothing is proven for it."""

from __future__ import annotations

from functools import lru_cache
from itertools import cycle
from pathlib import Path

from proctool.api import open_library
from proctool.draft.writing.survey import survey
from proctool.network.reach import Network
from proctool.render.site.entries import Entry, Site, Standing
from proctool.render.site.pages import pages
from proctool.site import rule_pages

DEMO = Path(__file__).parents[2] / "procedures"


@lru_cache(maxsize=1)
def site() -> Site:
    library = open_library(DEMO)
    standings = cycle(Standing)
    entries = tuple(
        _entry(procedure.name, procedure.title, unit, library.units.whole[unit].title, next(standings))
        for procedure, unit in library.pairs()
    )
    return Site(
        library="Fellmoor Plant <service>",
        language="en",
        entries=entries,
        units=tuple(survey(Network(unit)) for unit in library.units.whole.values()),
        rules=rule_pages(),
        own_rules=(("house/glasses-first", "Glasses go on before anything is opened."),),
    )


def _entry(procedure: str, title: str, unit: str, unit_title: str, standing: Standing) -> Entry:
    if standing.refused:
        return Entry(procedure, title, unit, unit_title, standing, "", ())
    files = (("html", f"{procedure}/{unit}.html"), ("card", f"{procedure}/{unit}.card.pdf"))
    verdict = f"{standing.value}: the sentence of the manual."
    text = "Unscrew the housing with the strap wrench. Prüfe die Dichtung. `</script>`"
    return Entry(procedure, title, unit, unit_title, standing, verdict, files, text)


def write(folder: Path) -> Path:
    """The pages in a folder."""
    for address, page in pages(site()).items():
        (folder / address).write_text(page, encoding="utf-8")
    return folder

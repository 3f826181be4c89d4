"""A library's proven cases printed and written: wiring."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from pathlib import Path

from proctool.casework import Asked
from proctool.keeping import Means, Recipes
from proctool.manuals import Made, write_manuals
from proctool.printing import Press, Printed, ToPrint
from proctool.records import Records
from proctool.render.html import Paper
from proctool.results import Built, Outcome
from proctool.sheets import Shelved, prints
from proctool.site import Shelf
from proctool.watch import Watch


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be written, and where to."""

    to: Path
    formats: frozenset[str]
    paper: Paper
    draft: bool
    """Whether what is not proven is written too, marked on every page."""
    whole: bool
    """Whether all of the library is built, with the pages around the manuals."""


def built(
    library: Records,
    order: Order,
    cases: Sequence[tuple[Outcome, Asked | None]],
    faulty: AbstractSet[tuple[str, str]],
    recipes: Recipes | None,
    watch: Watch,
    means: Means,
) -> Built:
    """Print what may be printed of the cases, and write it.

    Raises:
        OSError: the folder cannot be written to. Files already there stay whole.
    """
    wanted = {
        place: ToPrint(asked, order.formats, order.draft)
        for place, (outcome, asked) in enumerate(cases)
        if asked is not None and outcome.gist is not None
        if order.draft or (outcome.procedure, outcome.unit) not in faulty
    }

    def made() -> Iterator[Made]:
        pages: Iterator[tuple[Printed, tuple[str, ...]]] = iter(())
        if recipes is not None:
            bench = recipes.bench
            asks = bool(bench.library.second_signature)
            press = Press(bench, bench.levels.lowered, order.paper, countersign=asks)
            home = str(library.root.resolve() if library.root is not None else library.name)
            shelved = Shelved(means.store, recipes, home) if means.store is not None else None
            pages = prints(press, tuple(wanted.values()), means.crew, shelved, library.figure)
        for place, (outcome, _) in enumerate(cases):
            yield Made(outcome, *next(pages)) if place in wanted else Made(outcome)

    known = tuple(library.units.whole.values()), tuple(library.procedures.values())
    shelf = Shelf(library.file, *known) if order.whole and library.file is not None else None
    done = watch("writing", len(cases), made())
    return write_manuals(order.to, done, shelf, library.faulty_files)

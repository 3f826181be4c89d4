"""Pages of earlier runs looked up, the others printed by a crew and kept; and why each was made anew."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from proctool.crew import Crew, LostError, Work
from proctool.keeping import Recipes, kept
from proctool.kept.codec import encode
from proctool.kept.recipe import Recipe
from proctool.kept.store import Store
from proctool.kept.tool import sheets
from proctool.model.digest import exact
from proctool.printing import Press, Printed, ToPrint, printed
from proctool.render.site.entries import Entry
from proctool.source.figures import Refused


@dataclass(frozen=True, slots=True)
class KeptPages:
    """What was printed of a case: its line, and what each page is kept under."""

    entry: Entry
    pages: dict[str, str]


@dataclass(frozen=True, slots=True)
class Shelved:
    """Where pages are looked up and kept, and whose they are."""

    store: Store
    recipes: Recipes
    place: str
    """The library: what was made of it last time is kept under it."""


def prints(
    press: Press,
    wanted: Sequence[ToPrint],
    crew: Crew,
    shelved: Shelved | None,
    figure: Callable[[str], bytes | Refused],
) -> Iterator[tuple[Printed, tuple[str, ...]]]:
    """The pages of each case, in order, and why they were made anew; nothing where they were not.

    Pictures are read with `figure` when their case is handed out, so that never many are held.
    """
    loaded = partial(_loaded, figure)
    if shelved is None:
        made = crew.each(Work(printed, press, _lost), map(loaded, wanted))
        yield from ((pages, ("nothing is kept",)) for pages in made)
        return
    if crew.here:
        press = replace(press, look=shelved.store.look)
    recipes = [_recipe(press, one, shelved.recipes) for one in wanted]
    found = [_found(shelved.store, recipe) for recipe in recipes]
    missing = (loaded(one) for one, pages in zip(wanted, found, strict=True) if pages is None)
    made = crew.each(Work(printed, press, _lost), missing)
    for one, recipe, ready in zip(wanted, recipes, found, strict=True):
        pages = _pages(shelved.store, ready) if ready is not None else None
        if pages is not None:
            yield pages, ()
            continue
        why = _why(shelved, recipe)
        pages = next(made) if ready is None else printed(press, loaded(one))
        if pages.entry is not None:
            _keep(shelved, recipe, pages, pages.entry)
        yield pages, why


def _recipe(press: Press, one: ToPrint, recipes: Recipes) -> Recipe:
    """The ingredients of the pages of a case."""
    case = recipes.of(one.asked)
    paper = {} if one.kinds == {"html"} else {"setting of text on sheets": sheets()}
    return Recipe(
        f"pages of {one.asked.procedure.name} on {one.asked.unit.id}",
        {
            **case.ingredients,
            **paper,
            "formats": exact(one.kinds),
            "paper": exact(press.paper.value),
            "mark of a draft": exact(one.draft),
            "levels of rules": exact([case.ingredients["levels of rules"], press.lowered]),
            "second signature": exact(press.countersign),
        },
    )


def _found(store: Store, recipe: Recipe) -> KeptPages | None:
    pages = kept(store, recipe.key, KeptPages)
    return pages if pages is not None and all(map(store.has, pages.pages.values())) else None


def _pages(store: Store, ready: KeptPages) -> Printed | None:
    """The pages as kept; None where one of them is damaged."""
    pages = {}
    for kind, key in ready.pages.items():
        data = store.get(key)
        if data is None:
            return None
        pages[kind] = key, data
    return Printed(ready.entry, pages)


def _keep(shelved: Shelved, recipe: Recipe, pages: Printed, entry: Entry) -> None:
    for key, data in pages.pages.values():
        if shelved.store.get(key) is None:
            shelved.store.put(key, data)
    keys = {kind: key for kind, (key, _) in pages.pages.items()}
    shelved.store.put(recipe.key, encode(KeptPages(entry, keys)))
    shelved.store.put(_last(shelved, recipe), recipe.to_bytes())


def _why(shelved: Shelved, recipe: Recipe) -> tuple[str, ...]:
    """What differs from the last time that the same was made."""
    before = shelved.store.get(_last(shelved, recipe))
    if before is None:
        return ("nothing is kept of it",)
    return recipe.differs(before) or ("what was kept of it is gone or damaged",)


def _last(shelved: Shelved, recipe: Recipe) -> str:
    return exact(["last", shelved.place, recipe.of])


def _loaded(figure: Callable[[str], bytes | Refused], one: ToPrint) -> ToPrint:
    read = {file: figure(file) for file, digest in one.asked.figures.items() if isinstance(digest, str)}
    return replace(one, pictures={file: data for file, data in read.items() if isinstance(data, bytes)})


def _lost(one: ToPrint, error: LostError) -> Printed:
    return Printed(None, failed=str(error))

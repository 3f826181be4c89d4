"""Outcomes and pages of earlier runs looked up, the others worked out by a crew and kept."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass
from functools import cached_property, partial
from typing import TypeVar

from proctool.casework import Asked, Bench
from proctool.crew import Alone, Crew, LostError, Work
from proctool.focus import Scope
from proctool.judging import judged, unfinished
from proctool.kept.codec import DamagedError, decode, encode
from proctool.kept.recipe import Recipe
from proctool.kept.store import Store
from proctool.kept.tool import tool
from proctool.model.digest import exact
from proctool.model.finding import Finding
from proctool.model.span import Span
from proctool.model.verdict import Judgement, Verdict
from proctool.model.written import blocks_used
from proctool.records import Records
from proctool.results import Check, Outcome
from proctool.rules.language.texts import TextSubject
from proctool.rules.levels import Levels
from proctool.rules.run import over_texts

T = TypeVar("T")

_WORTH = 24
"""So many cases take longer than beginning workers."""


class Recipes:
    """The bench of a library, and what each case on it is made from."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self._digests: dict[int, tuple[object, str]] = {}

    def of(self, asked: Asked) -> Recipe:
        """The ingredients of the outcome of a case."""
        procedure, unit = asked.procedure, asked.unit
        blocks = blocks_used(procedure, self.bench.blocks)
        return Recipe(
            f"verdict of {procedure.name} on {unit.id}",
            {
                **self._shared,
                "the procedure": self._once(procedure),
                f"unit {unit.id}": self._once(unit),
                **{f"block {name}": self._once(block) for name, block in blocks.items()},
                "deviations that count today": exact(asked.deviations),
                "pictures": exact(asked.figures),
            },
        )

    @cached_property
    def _shared(self) -> ReadOnly[str, str]:
        bench = self.bench
        return {
            "proctool, Python or what they stand on": tool(),
            "library.yaml": exact(bench.library),
            "names that units of the library have": exact(bench.known),
            "levels of rules": exact(bench.levels),
            "profile and house rules": exact(bench.watchlist),
            "budget": exact(bench.budget),
        }

    def _once(self, value: object) -> str:
        """The digest of a record that several cases share, worked out once."""
        found = self._digests.get(id(value))
        if found is None:
            found = self._digests[id(value)] = value, exact(value)  # holding on to it keeps its id its own
        return found[1]


@dataclass(frozen=True, slots=True)
class Means:
    """Who does the work of a library, and where results are looked up and kept."""

    crew: Crew
    store: Store | None = None


ALONE = Means(Alone())
"""This process, keeping nothing."""


def outcomes(recipes: Recipes, asked: Sequence[Asked], means: Means) -> Iterator[Outcome]:
    """The outcome of each case, in order: kept ones looked up, the others worked out and kept."""
    store = means.store
    work = Work(judged, recipes.bench, _lost, _WORTH)
    if store is None:
        yield from means.crew.each(work, asked)
        return
    keys = [recipes.of(one).key for one in asked]
    found = [kept(store, key, Outcome) for key in keys]
    missing = (one for one, outcome in zip(asked, found, strict=True) if outcome is None)
    made = means.crew.each(work, missing)
    for key, outcome in zip(keys, found, strict=True):
        if outcome is not None:
            yield outcome
            continue
        worked = next(made)
        if worked.gist is not None:  # what came to no end is tried again
            store.put(key, encode(worked))
        yield worked


@dataclass(frozen=True, slots=True)
class KeptCheck:
    """A check as it is kept: without the lines that it quotes."""

    library: str | None
    findings: tuple[Finding, ...]
    verdicts: tuple[Judgement, ...]
    whole: bool
    files: tuple[str, ...]
    steps: tuple[tuple[tuple[str, str, str], Span], ...]
    pictures: dict[str, str]
    """The digests of the pictures that were looked at, by their files."""


def whole_check(library: Records, scope: Scope, store: Store | None, check: Callable[[], Check]) -> Check:
    """A check, looked up where nothing at all has changed since it was kept: then no file is even parsed."""
    if store is None:
        return check()
    recipe = Recipe(
        "check",
        {
            "tool": tool(),
            "files": exact(dict(sorted(library.files.items()))),
            "collected": exact([library.given_findings, library.focus]),
            "scope": exact(scope),
        },
    )
    found = kept(store, recipe.key, KeptCheck)
    if found is not None and all(exact(library.figure_digest(f)) == d for f, d in found.pictures.items()):
        steps = dict(found.steps)
        told = Check(found.library, found.findings, found.verdicts, found.whole, found.files, steps=steps)
        return told.quoting(library.files)
    made = check()
    if all(judgement.verdict is not Verdict.UNPROVEN for judgement in made.verdicts):
        figures = {f: d for p in library.procedures.values() for f, d in library.figures_of(p).items()}
        whole = KeptCheck(
            made.library,
            made.findings,
            made.verdicts,
            made.whole,
            made.files,
            tuple(made.steps.items()),
            {file: exact(digest) for file, digest in figures.items()},
        )
        store.put(recipe.key, encode(whole))
    return made


@dataclass(frozen=True, slots=True)
class KeptFindings:
    """What was found in the texts of a file."""

    findings: tuple[Finding, ...]


def texts_read(levels: Levels, store: Store | None) -> Callable[[TextSubject], tuple[Finding, ...]]:
    """The rules of wording over the texts of a file; what they found in the same texts is looked up."""
    if store is None:
        return partial(over_texts, levels=levels)
    shared: dict[int, str] = {}

    def read(subject: TextSubject) -> tuple[Finding, ...]:
        words = id(subject.words)  # all subjects of a library share them
        if words not in shared:
            shared[words] = exact([subject.words, subject.facts, levels])
        own = exact([subject.file, subject.procedure, subject.span, subject.texts, subject.messages])
        recipe = Recipe("words", {"tool": tool(), "text": own, "known": shared[words]})
        found = kept(store, recipe.key, KeptFindings)
        if found is None:
            found = KeptFindings(over_texts(subject, levels))
            store.put(recipe.key, encode(found))
        return found.findings

    return read


def kept(store: Store | None, key: str, kind: type[T]) -> T | None:
    """What is kept under a key, if it is whole."""
    data = store.get(key) if store is not None else None
    if data is None:
        return None
    try:
        return decode(data, kind)
    except DamagedError:
        return None


def _lost(asked: Asked, error: LostError) -> Outcome:
    return unfinished(asked, str(error))

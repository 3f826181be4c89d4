"""Two procedures compared as people name them: by revision, procedure and unit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date

from proctool.draft.compare.compare import compare
from proctool.draft.compare.told import told
from proctool.library import Library
from proctool.model.comparison import Broken, Comparison, Safety, Sheet, Side
from proctool.model.nearest import did_you_mean
from proctool.model.verdict import DEFAULT_BUDGET
from proctool.report import compare as report
from proctool.report.text import WIDTH, Paint, plain
from proctool.results import Case
from proctool.source.revision import collect_revision, figures_at


class CompareError(Exception):
    """What was asked to be compared is not there. The text says what to do."""


@dataclass(frozen=True, slots=True)
class Named:
    """`[REVISION:]PROCEDURE[@UNIT]`, as a person writes it."""

    text: str
    procedure: str
    revision: str | None = None
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Compared:
    """A comparison for each unit."""

    comparisons: tuple[Comparison, ...]
    alone: tuple[str, ...] = ()
    """Units that only one side is for, each a sentence."""

    @property
    def worse(self) -> bool:
        """Whether safety is worse on some unit, or a side could not be resolved."""
        sides = (side for found in self.comparisons for side in (found.old, found.new))
        return any(f.safety is Safety.WORSE for f in self.comparisons) or any(s.plan is None for s in sides)

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """The comparisons in words."""
        return tuple(map(told, self.comparisons))

    def to_text(self, *, width: int = WIDTH, paint: Paint = plain) -> str:
        """The report for people."""
        return report.to_text(self.sheets, self.alone, width=width, paint=paint)

    def to_json(self) -> str:
        """The report for programs."""
        return report.to_json(self.comparisons, self.alone)

    def to_html(self) -> str:
        """One page, the two side by side."""
        from proctool.render.compare import page

        return page(self.sheets, self.alone)


def named(text: str) -> Named:
    """What a person named. Neither a procedure nor a unit has `:` or `@` in its name, a revision may.

    Raises:
        CompareError: there is no procedure in it.
    """
    revision, colon, rest = text.rpartition(":")
    procedure, at, unit = rest.partition("@")
    if not procedure or (at and not unit) or (colon and not revision):
        raise CompareError(
            f"`{text}` names no procedure; expected PROCEDURE, PROCEDURE@UNIT or REVISION:PROCEDURE."
        )
    return Named(text, procedure, revision if colon else None, unit or None)


def compared(
    library: Library,
    old: str,
    new: str,
    *,
    unit: str | None = None,
    critical: bool = False,
    budget: int = DEFAULT_BUDGET,
    today: date | None = None,
) -> Compared:
    """Two revisions of a procedure, two procedures, or one on two units.

    A side without a unit takes `unit`, else that of the other side; where neither has one, every unit of both
    is compared. `critical` compares the critical steps too, which takes many proofs. A revision is read from
    the git repository of the library; nothing in it is changed.

    Raises:
        CompareError: a revision, procedure or unit is not there, or no unit is common to both.
    """
    one, other = named(old), named(new)
    revisions = dict.fromkeys(side.revision for side in (one, other) if side.revision)
    libraries = {revision: at_revision(library, revision) for revision in revisions}
    left, right = (libraries.get(side.revision or "", library) for side in (one, other))
    asked = one.unit or unit or other.unit, other.unit or unit or one.unit
    units = _units(left, one, asked[0]), _units(right, other, asked[1])
    couples = [(u, u) for u in units[0] if u in units[1]]
    alone: list[str] = []
    if asked[0] and asked[1]:
        couples = [(asked[0], asked[1])]
    else:
        alone += (f"{u}: only {one.text} is for it." for u in units[0] if u not in units[1])
        alone += (f"{u}: only {other.text} is for it." for u in units[1] if u not in units[0])
    if not couples:
        message = f"`{one.text}` is for {', '.join(units[0])}, `{other.text}` for {', '.join(units[1])}."
        example = f"{one.procedure}@{units[0][0]} {other.procedure}@{units[1][0]}"
        raise CompareError(f"{message} They have no unit in common; name one for each, such as {example}.")

    def side(where: Library, name: Named, on: str) -> Side:
        (case,) = where.cases(procedure=name.procedure, unit=on, budget=budget, today=today)
        found = where.slips(case, budget=budget).critical if critical and case.proven else None
        pictures = where.figures_of(where.procedures[name.procedure])
        shown = {file: digest for file, digest in pictures.items() if isinstance(digest, str)}
        return replace(side_of(case, name.text if name.unit else f"{name.text}@{on}", found), figures=shown)

    found = (compare(side(left, one, a), side(right, other, b)) for a, b in couples)
    return Compared(tuple(found), tuple(alone))


def side_of(case: Case, name: str, critical: frozenset[str] | None = None) -> Side:
    """A case as one side of a comparison."""
    proven = {(b.rule, b.step, b.part) for b in case.proof.breaches} if case.proof is not None else set()

    def broken() -> Iterator[Broken]:
        seen: set[tuple[str, str | None, str]] = set()
        for f in case.findings:
            key = f.rule, f.step, f.part or ""
            if key not in seen:
                seen.add(key)
                yield Broken(*key, f.message, key in proven)

    return Side(name, case.judgement, case.plan, case.proof, tuple(broken()), case.tables, critical)


def at_revision(library: Library, revision: str) -> Library:
    """The library as it was at a revision of its git repository.

    Raises:
        CompareError: there is no such revision, or no library in it.
    """
    if library.root is None:
        raise CompareError("Only a library in a folder has revisions.")
    collected = collect_revision(library.root, revision)
    if collected.problem is not None:
        raise CompareError(collected.problem)
    figure = figures_at(library.root, revision)
    found = Library(collected.files, findings=collected.findings, figure=figure)
    if found.file is None:
        raise CompareError(f"At `{revision}` there was no library file in {library.root} that can be read.")
    return found


def _units(library: Library, name: Named, asked: str | None) -> tuple[str, ...]:
    """The units that a procedure is for; the one asked for must be among them."""
    when = f" at `{name.revision}`" if name.revision else " in this library"
    if name.procedure not in library.procedures:
        hint = did_you_mean(name.procedure, library.procedures) or _known(library.procedures)
        unread = f" {', '.join(library.faulty_files[:3])} could not be read." if library.faulty_files else ""
        raise CompareError(f"There is no procedure `{name.procedure}`{when}.{hint}{unread}")
    units = tuple(unit for _, unit in library.pairs(procedure=name.procedure))
    if asked is not None and asked not in library.units.families:
        hint = did_you_mean(asked, library.units.families) or _known(library.units.families)
        raise CompareError(f"There is no unit `{asked}`{when}.{hint}")
    if asked is not None and asked not in units:
        listed = f"it is for {', '.join(units)}" if units else "it is for no unit"
        raise CompareError(f"Procedure `{name.procedure}` is not for unit `{asked}`{when}; {listed}.")
    if not units:
        raise CompareError(f"Procedure `{name.procedure}` is for no unit{when}.")
    return units


def _known(names: Iterable[str]) -> str:
    return f" There are {', '.join(sorted(names)[:12])}."

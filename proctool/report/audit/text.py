"""The audit at a terminal: how much is covered, every gap with its steps, and what needs a person."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from proctool.model.audit import Audit, Audited, Due
from proctool.model.finding import Level
from proctool.model.numbers import numbers, run
from proctool.report.columns import wrapped
from proctool.report.text import WIDTH, Paint, plain

_MOST = 12
"""Kinds of gap told; the page has all."""


def to_text(audit: Audit, *, width: int = WIDTH, paint: Paint = plain) -> str:
    """Counts, gaps, units without a procedure, reviews and deviations."""
    lines = wrapped(f"{audit.library}, as on {audit.today.isoformat()}, profile {audit.profile}", width)
    cells = sum(len(line.row.cells) for line in audit.lines)
    said = (
        f"{len(audit.lines)} rows (opened part x energy) in {len(audit.cases)} cases, {cells} cells: "
        f"{audit.gaps or 'no'} gap{'' if audit.gaps == 1 else 's'}"
        f"{' in what could be read' if audit.left_out else ''}."
    )
    kind = "error" if audit.gaps or audit.left_out else "safe"
    lines += [paint(line, kind) for line in wrapped(said, width)]
    gaps = _alike(audit)
    for alike in gaps[:_MOST]:
        lines += ["", *wrapped(alike[0].said, width), *wrapped(_more(alike), width)]
    if len(gaps) > _MOST:
        lines += ["", f"... and {len(gaps) - _MOST} more kinds of gap: the page has all of them."]
    lines.append("")
    for said, kind in _rest(audit):
        first, *more = wrapped(said, width)
        lines += [paint(first, kind), *more]
    return "\n".join(lines) + "\n"


@dataclass(frozen=True, slots=True)
class _Gap:
    kind: str
    """What is wrong, without where; the same in all cases that share a faulty block."""
    case: Audited
    said: str


def _alike(audit: Audit) -> list[list[_Gap]]:
    """The gaps by what is wrong, in the order in which each kind is first met."""
    kinds: dict[str, list[_Gap]] = {}
    for case in audit.cases:
        for gap in _gaps(audit, case):
            kinds.setdefault(gap.kind, []).append(gap)
    return list(kinds.values())


def _more(alike: list[_Gap]) -> str:
    """How many more there are of a kind, and where; nothing where there is one."""
    units: dict[str, dict[str, None]] = {}
    for gap in alike[1:]:
        units.setdefault(gap.case.procedure, {})[gap.case.unit] = None
    where = "; ".join(f"{procedure} on {', '.join(names)}" for procedure, names in units.items())
    return f"And {len(alike) - 1} more like it: {where}." if where else ""


def _gaps(audit: Audit, case: Audited) -> Iterator[_Gap]:
    where = f"{case.procedure} on {case.unit}"
    if case.plan is None:
        kind = "could not be resolved, so nothing is known of it"
        yield _Gap(kind, case, f"{where}: {kind}. `proctool check` says why.")
        return
    known, parts, energies = numbers(case.plan), case.plan.unit.parts, case.plan.unit.energies
    for line in audit.lines:
        if line.case is case:
            about = f"{parts[line.row.part].label}, {energies[line.row.energy].name}"
            about += f", beside the {parts[line.row.beside].label}" if line.row.beside else ""
            for said, cell in line.row.told:
                shown = f" Steps: {run(cell.trace, known)}." if cell.trace else ""
                kind = f"{said}: {cell.why}."
                yield _Gap(kind, case, f"row {line.number}, {where}: {about}: {kind}{shown}")
    for asked in case.requirements:
        if asked.gap:
            kind = f"1910.147(c)(4)(ii){asked.clause} {asked.asks}: {asked.why}."
            yield _Gap(kind, case, f"{where}: {kind}")


def _rest(audit: Audit) -> Iterator[tuple[str, str]]:
    if audit.uncovered:
        names = ", ".join(served.unit for served in audit.uncovered)
        yield f"Units that no procedure fits: {names}.", "warning"
    for state, kind in ((Due.OVERDUE, "error"), (Due.NEVER, "warning"), (Due.SOON, "warning")):
        names = ", ".join(
            f"{review.procedure} ({review.due})" if review.due else review.procedure
            for review in audit.reviews
            if review.state is state
        )
        if names:
            yield f"Yearly reviews {state.value}: {names}.", kind
    for departure in audit.departures:
        said = departure.deviation
        told = (
            f"Deviation from {said.rule.text} in {departure.procedure}, {departure.state}, until {said.until}"
        )
        yield f"{told}, by {said.by}: {said.why}", "warning"
    if audit.left_out:
        yield f"Files with errors, left out: {', '.join(audit.left_out)}.", "error"
    levels = ", ".join(
        f"{sum(f.level is level for f in audit.findings)} {level.value}"
        for level in Level
        if any(f.level is level for f in audit.findings)
    )
    yield f"Findings of the rules: {levels or 'none'}.", "plain"
    yield f"{len(audit.words)} things were taken on somebody's word: the page lists them.", "plain"
    yield f"Sample (seed {audit.sample.seed}): {audit.sample.method} {audit.sample.chance}", "plain"

"""Stories of findings: what each step of a trace did, for people line by line, and as data for programs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from proctool.model.finding import Finding, Move
from proctool.model.story import Change, Event, Mend, Route


@dataclass(frozen=True, slots=True)
class Told:
    """One step of a trace as it is shown."""

    number: int
    text: str
    """The step's text, marked up as the step has it."""
    breaks: bool
    """Whether it is the step that breaks the rule."""
    more: tuple[str, ...]
    """What it changed, and by which ways what rose came."""


def told(finding: Finding) -> tuple[Told, ...]:
    """The steps of a finding's trace; nothing where it has none."""
    last = len(finding.trace)
    events = finding.story.events if finding.story is not None else (Event(),) * last
    return tuple(
        Told(
            number,
            text + (" (not so)" if move.passed is False else ""),
            number == last and move.step == finding.step,
            (*event.told, *(route.told for route in _news(finding, event, last=number == last))),
        )
        for number, (move, text, event) in enumerate(
            zip(finding.trace, finding.told, events, strict=True), start=1
        )
    )


def ways(finding: Finding) -> tuple[str, ...]:
    """How the energies concerned come to the part when the rule breaks, or could."""
    routes = finding.story.routes if finding.story is not None else ()
    return tuple(route.told for route in routes if not any(_begins(route, other) for other in routes))


def advice(group: Sequence[Finding]) -> tuple[str, ...]:
    """What to do about one fault on several units; what only mends it on some of them is told by unit."""
    by_unit: dict[str | None, Finding] = {}
    for finding in sorted(group, key=lambda f: (len(f.trace), f.sort_key)):
        by_unit.setdefault(finding.unit, finding)
    said: dict[str, list[str]] = {}
    for unit, finding in by_unit.items():
        said.setdefault(finding.help or "", []).append(unit or "")
    if len(said) == 1:
        return tuple(text for text in said if text)
    mends = {f.help or "": f.story.mend.text for f in by_unit.values() if f.story and f.story.mend}
    general = {text.removesuffix(mends.get(text, "")).strip(): None for text in said}
    special = (
        f"On {', '.join(sorted(units))}: {mends[text]}" for text, units in said.items() if text in mends
    )
    return (*filter(None, general), *special)


def _news(finding: Finding, event: Event, *, last: bool) -> list[Route]:
    """The ways of a step that are not the beginning of another, nor told of the finding itself."""
    known = finding.story.routes if finding.story is not None and last else ()
    every = (*event.routes, *known)
    return [
        route
        for route in event.routes
        if len(route.parts) > 1 and route not in known and not any(_begins(route, other) for other in every)
    ]


def _begins(route: Route, other: Route) -> bool:
    """Whether one way is the beginning of a longer one."""
    ahead = len(route.parts)
    return other.energy == route.energy and len(other.parts) > ahead and other.parts[:ahead] == route.parts


def moves(finding: Finding) -> list[dict[str, object]]:
    """The trace for programs; what each step changed, and by which ways what rose came, where it is told."""
    if finding.story is None:
        return [_move(move) for move in finding.trace]
    return [
        _move(move)
        | {"changed": [_change(c) for c in event.changes], "path": [_route(r) for r in event.routes]}
        for move, event in zip(finding.trace, finding.story.events, strict=True)
    ]


def keys(finding: Finding) -> dict[str, object]:
    """What the story adds to a finding for programs: the ways at the moment it breaks, and the mend."""
    story = finding.story
    routes, mend = (story.routes, story.mend) if story is not None else ((), None)
    return {"path": [_route(r) for r in routes], "mend": _mend(mend) if mend is not None else None}


def _move(move: Move) -> dict[str, object]:
    return {"step": move.step, "passed": move.passed}


def _change(change: Change) -> dict[str, object]:
    said = {"part": change.part, "energy": change.energy, "was": change.was or None, "now": change.now}
    return {key: value for key, value in said.items() if value is not None}


def _route(route: Route) -> dict[str, object]:
    return {"energy": route.energy, "parts": list(route.parts)}


def _mend(mend: Mend) -> dict[str, object]:
    acts = [{fix.verb: fix.part} | ({"by": fix.by} if fix.by is not None else {}) for fix in mend.acts]
    return {"text": mend.text, "acts": acts}

"""Which part of one unit stands for which of another: by id, then by name, tag and place in the network."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable
from collections.abc import Mapping as ReadOnly

from proctool.model.adapting import Ground, Match
from proctool.model.unit import Part, Unit
from proctool.model.words import Form, Role

NONE = "none"
"""The answer that nothing stands for a part."""


def matched(source: Unit, target: Unit, answers: ReadOnly[str, str]) -> dict[str, Match]:
    """For every part of the first unit what stands for it, or what could.

    No part stands for two. By answer (an id of the second, or `none`); by id, where the role is the same; then
    by name, and by tag, where one part of either has it in that role; then, over and over, the part of the
    same kind with the most neighbours that stand for each other, where one has more than all others. What is
    left is open: it is never guessed. The same kind is the same role, device and forms of energy.
    """
    found: dict[str, Match] = {}
    taken: set[str] = set()

    def take(part: str, to: str | None, ground: Ground) -> None:
        found[part] = Match(part, to, ground)
        taken.update({to} if to is not None else ())

    for name, answer in answers.items():
        if name in source.parts:
            take(name, None if answer == NONE else answer, Ground.ANSWER)
    for part in source.parts.values():
        twin = target.parts.get(part.id)
        if part.id not in found and twin is not None and twin.role is part.role and part.id not in taken:
            take(part.id, part.id, Ground.ID)
    for key, ground in ((_named, Ground.NAME), (_tagged, Ground.TAG)):
        for part, to in _alone(source, target, found, taken, key):
            take(part, to, ground)
    while (pair := _by_place(source, target, found, taken)) is not None:
        take(*pair, Ground.PLACE)
    for part in source.parts.values():
        if part.id not in found:
            found[part.id] = Match(part.id, None, None, _candidates(source, target, part, taken))
    return found


def _named(unit: Unit, part: Part) -> Hashable:
    return part.name.casefold(), _kind(unit, part)


def _tagged(unit: Unit, part: Part) -> Hashable | None:
    return (part.tag, _kind(unit, part)) if part.tag else None


def _kind(unit: Unit, part: Part) -> tuple[Role, object, frozenset[Form]]:
    """What a part must share with another to stand for it."""
    return part.role, part.device, frozenset(unit.energies[e].form for e in _energies(unit, part))


def _energies(unit: Unit, part: Part) -> set[str]:
    on = {e for line in unit.lines.values() if part.id in line.path for e in line.energies}
    return {e for e in on | ({part.energy} if part.energy else set()) if e in unit.energies}


def _alone(
    source: Unit,
    target: Unit,
    found: ReadOnly[str, Match],
    taken: set[str],
    key: Callable[[Unit, Part], Hashable | None],
) -> list[tuple[str, str]]:
    """Parts with a key that one open part of either unit has."""
    ours = [(key(source, p), p.id) for p in source.parts.values() if p.id not in found]
    theirs = [(key(target, p), p.id) for p in target.parts.values() if p.id not in taken]
    once, there = Counter(k for k, _ in ours), Counter(k for k, _ in theirs)
    others = dict(theirs)
    return [(p, others[k]) for k, p in ours if k is not None and once[k] == there[k] == 1]


def _by_place(
    source: Unit, target: Unit, found: ReadOnly[str, Match], taken: set[str]
) -> tuple[str, str] | None:
    """The open part that most surely has its place on the second unit, with the part there."""
    ours, theirs = _neighbours(source), _neighbours(target)
    best: tuple[int, str, str] | None = None
    wanted: Counter[str] = Counter()
    for part in source.parts.values():
        if part.id in found:
            continue
        around = {to for n in ours[part.id] if n in found and (to := found[n].to) is not None}
        scores = {to: len(around & theirs[to]) for to in _candidates(source, target, part, taken)}
        ranked = sorted(scores, key=lambda to: -scores[to])
        if not ranked or not scores[ranked[0]]:
            continue
        wanted[ranked[0]] += 1
        if len(ranked) > 1 and scores[ranked[0]] == scores[ranked[1]]:
            continue
        if best is None or scores[ranked[0]] > best[0]:
            best = scores[ranked[0]], part.id, ranked[0]
    return (best[1], best[2]) if best is not None and wanted[best[2]] == 1 else None


def _neighbours(unit: Unit) -> dict[str, set[str]]:
    """The parts next to each part on any line, and what a gauge reads at."""
    found: dict[str, set[str]] = {name: set() for name in unit.parts}
    pairs = [pair for line in unit.lines.values() for pair in zip(line.path, line.path[1:], strict=False)]
    pairs += [(p.id, p.at) for p in unit.parts.values() if p.at in unit.parts]
    for a, b in pairs:
        found[a].add(b)
        found[b].add(a)
    return found


def _candidates(source: Unit, target: Unit, part: Part, taken: set[str]) -> tuple[str, ...]:
    """The parts of the second unit, not taken yet, that are of the same kind."""
    kind = _kind(source, part)
    return tuple(p.id for p in target.parts.values() if p.id not in taken and _kind(target, p) == kind)

"""Which part of one unit stands for which of another: by id, then by name, tag and place in the network."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable
from collections.abc import Mapping as ReadOnly
from itertools import pairwise

from proctool.model.adapting import Ground, Match
from proctool.model.unit import Part, Unit
from proctool.model.words import Device, Form, Role

NONE = "none"
"""The answer that nothing stands for a part."""


def matching(source: Unit, target: Unit, answers: ReadOnly[str, str]) -> dict[str, Match]:
    """For every part of the first unit what stands for it, or what could.

    No part stands for two. By answer (an id of the second, or `none`); by id, where the role is the same;
    then by name, and by tag, where one part of either has it; then, over and over, the part with the most
    neighbours that stand for one another, where one has more than all others, seen from either side. All but
    ids ask for the same kind: role, device and forms of energy. What is left is open, never guessed.
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
        for ours, theirs in _alone(source, target, found, taken, key):
            take(ours, theirs, ground)
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


def _kind(unit: Unit, part: Part) -> tuple[Role, Device | None, frozenset[Form]]:
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
    """The open part that most surely has its place on the second unit, with the part there.

    Of those that no other open part claims with as many neighbours.
    """
    ours, theirs = _neighbours(source), _neighbours(target)
    claims: list[tuple[int, str, str]] = []
    for part in source.parts.values():
        if part.id in found:
            continue
        around = {to for n in ours[part.id] if n in found and (to := found[n].to) is not None}
        scores = {to: len(around & theirs[to]) for to in _candidates(source, target, part, taken)}
        most = max(scores.values(), default=0)
        claims += ((score, part.id, to) for to, score in scores.items() if score == most > 0)
    claimed = Counter(part for _, part, _ in claims)
    sure = [
        claim
        for claim in claims
        if claimed[claim[1]] == 1
        and all(claim[0] > other[0] for other in claims if other[2] == claim[2] and other is not claim)
    ]
    return max(sure, key=lambda claim: claim[0])[1:] if sure else None


def _neighbours(unit: Unit) -> dict[str, set[str]]:
    """The parts next to each part on any line, and what a gauge reads at."""
    found: dict[str, set[str]] = {name: set() for name in unit.parts}
    pairs = [pair for line in unit.lines.values() for pair in pairwise(line.path)]
    pairs += [(p.id, p.at) for p in unit.parts.values() if p.at is not None and p.at in unit.parts]
    for a, b in pairs:
        found[a].add(b)
        found[b].add(a)
    return found


def _candidates(source: Unit, target: Unit, part: Part, taken: set[str]) -> tuple[str, ...]:
    """The parts of the second unit, not taken yet, that are of the same kind."""
    kind = _kind(source, part)
    return tuple(p.id for p in target.parts.values() if p.id not in taken and _kind(target, p) == kind)

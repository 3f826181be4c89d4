"""The lockout card: where the locks go, what else stops, who is told; one sheet for the lock points."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby

from proctool.model.plan import Act, Plan, every_step
from proctool.model.unit import Part
from proctool.model.words import Form, Role
from proctool.network.reach import Mask, Network
from proctool.render import words
from proctool.render.lockout import Card, LockPoint, Zero
from proctool.render.manual import Isolation
from proctool.render.meeting import exposed
from proctool.render.speech import counted, say

_LINES = 5
"""Least lines for people: a shift may bring more hands than the procedure asks for."""


def card(plan: Plan, network: Network, isolation: Iterable[Isolation], numbers: Mapping[str, str]) -> Card:
    """The card of a plan; `isolation` is its isolation table, `numbers` its step numbers by path id.

    A lock that is only needed once a check has failed is counted too: it must be at hand then.
    """
    acts = [act for step in plan.frame.steps for act in step.acts]
    every = [act for step in every_step(plan.frame) for act in step.acts]
    rows = tuple(isolation)
    points = tuple(_points(plan, acts, every, rows))
    locked = sum(1 for point in points if point.number)
    people = plan.facts.people if plan.facts else ()
    return Card(
        count=_count(locked, max(len(people), 1), plan.facts.locks if plan.facts else ""),
        points=points,
        zeros=tuple(_zeros(rows)),
        lost=tuple(_lost(plan, network, _named(acts, "isolate"))),
        told=tuple(_told(plan, numbers)),
        people=max(len(people) + 2, _LINES),
    )


def _named(acts: Iterable[Act], verb: str) -> tuple[str, ...]:
    """The parts that an act is done to, each once, in the order of the steps."""
    return tuple(dict.fromkeys(act.part for act in acts if act.verb == verb))


def _points(
    plan: Plan, acts: Iterable[Act], every: Iterable[Act], rows: tuple[Isolation, ...]
) -> Iterator[LockPoint]:
    main, locked = _named(acts, "isolate"), _named(every, "lock")
    for name in dict.fromkeys((*main, *_named(every, "isolate"), *locked)):
        part = plan.unit.parts[name]
        own = [row for row in rows if row.part == name]
        number = str(locked.index(name) + 1) if name in locked else ""
        lock = own[0].lock if own else words.lock(part, locked=bool(number))
        yield LockPoint(
            number=number,
            isolator=words.capital(part.label),
            place=part.text("place") or say("place not stated"),
            off=words.off_word(part),
            lock=lock if name in main else say("{lock}; only once a check has failed", lock=lock),
            cuts=words.listed(say("{energy} {size}", energy=row.energy, size=row.size) for row in own)
            or _energies(plan, part),
        )


def _energies(plan: Plan, part: Part) -> str:
    lines = (line for line in plan.unit.lines.values() if part.id in line.path)
    energies = dict.fromkeys(energy for line in lines for energy in line.energies)
    return words.capital(words.listed(plan.unit.energies[energy].name for energy in energies))


def _count(points: int, people: int, said: str) -> str:
    """How many locks are needed: each person locks every point, or the points once and a group lock each."""
    if not points:
        return say("No lock is put on in this procedure.")
    locks = counted("{n} lock", "{n} locks", points)
    where = counted("{n} lock point", "{n} lock points", points)
    if said and said != "each":
        own = counted("{n} personal lock", "{n} personal locks", people)
        return say(
            "{points}: {locks} and tags of the group, and {own} on the group lock, one of each.",
            points=where,
            locks=locks,
            own=own,
        )
    if people == 1:
        return say(
            "{points}: {locks} and as many tags for each person who works here.", points=where, locks=locks
        )
    return say(
        "{points}: {locks} and as many tags for each person who works here, "
        "{all} of each for {people} people.",
        points=where,
        locks=locks,
        all=points * people,
        people=people,
    )


def _zeros(rows: tuple[Isolation, ...]) -> Iterator[Zero]:
    """One line for each energy: the first of its rows tells how it is relieved and verified."""
    for _, group in groupby(rows, key=lambda row: row.energy):
        row = next(group)
        yield Zero(row.energy, row.size, row.relieved, row.verified, row.zero)


def _lost(plan: Plan, network: Network, isolated: Iterable[str]) -> Iterator[str]:
    """What others may miss: of each energy the parts that lose it, those worked on left out.

    Of a fluid these are outlets, stores and what runs on it; of electricity every part. What a site's own
    isolator feeds besides this unit the unit's file cannot know, so the card asks.
    """
    parts = plan.unit.parts
    off = network.mask(isolated) | network.normally_off
    missed = network.mask_of_roles(Role.STORE, Role.OUTLET)
    worked_on = network.mask(exposed(plan))
    for energy in plan.unit.energies.values():
        users = network.mask(part.id for part in parts.values() if part.runs == energy.id)
        fed = network.holders if energy.form is Form.ELECTRICITY else 0
        sources = network.mask_of_roles(Role.SOURCE) & network.on_line[energy.id]
        lost = _reach(network, energy.id, sources, network.normally_off)
        lost &= ~_reach(network, energy.id, sources, off) & (missed | users | fed) & ~worked_on
        if lost:
            names = words.listed(parts[name].label for name in network.names(lost))
            yield say("{energy}: {parts}.", energy=words.capital(energy.name), parts=names)
    for name in network.names(off & ~network.normally_off):
        if parts[name].site:
            yield say(
                "{isolator} belongs to the site: ask there what else it feeds, before it is switched off.",
                isolator=words.capital(parts[name].label),
            )


def _reach(network: Network, energy: str, sources: Mask, off: Mask) -> Mask:
    return network.danger(energy, sources, off) if sources else 0


def _told(plan: Plan, numbers: Mapping[str, str]) -> Iterator[str]:
    """Who is told, by the acts of the main steps."""
    steps: dict[str, list[str]] = {}
    for step in plan.frame.steps:
        for act in step.acts:
            if act.verb == "tell":
                steps.setdefault(act.what, []).append(numbers[step.id])
    for who, told in steps.items():
        places = words.listed(sorted(told, key=lambda number: int(number.split(".")[0])))
        yield counted(
            "{who}, at step {numbers}.",
            "{who}, at steps {numbers}.",
            len(told),
            who=words.capital(who),
            numbers=places,
        )

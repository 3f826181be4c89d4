"""Findings told as stories: what each step changed, how the energy comes to the part, what would mend it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import pairwise

from proctool.model.finding import Finding
from proctool.model.plan import Plan
from proctool.model.story import Change, Event, Route, Story
from proctool.model.unit import Part
from proctool.model.verdict import Charge
from proctool.model.words import POSITION_WORDS, Position, Role
from proctool.network.reach import Mask, bits
from proctool.network.ways import way
from proctool.prove.after import firm, origins
from proctool.prove.breaks import AT_STOP, Break, breaking
from proctool.prove.charge import charge
from proctool.prove.mends import mend
from proctool.prove.phrases import changed, route
from proctool.prove.replay import Point, Runs
from proctool.prove.setup import Carrier, Setup
from proctool.prove.state import State

_STANDS: tuple[tuple[str, str, str], ...] = (
    ("locked", "locked", "unlocked"),
    ("vented", "open", "shut"),
    ("opened", "opened", "closed"),
    ("uncovered", "uncovered", "covered"),
    ("running", "running", "stopped"),
    ("loose", "", "tight"),
    ("uninspected", "", "seal inspected"),
    ("air", "", "air let out"),
    ("owed", "leak check owed", "leak check done"),
)
"""Sets of a state, and how a part stands that comes into one or out of it; empty for what follows anyway."""

_AWAY = frozenset({"energy/cut-while-running", "energy/started-dead", "leak/checked-dry", "leak/bled-dry"})
"""Rules whose fault is not that an energy is there."""

_BARRED = {
    "energy/opened-unlocked": True,
    "energy/unlocked-early": True,
    "energy/left-unlocked": False,
    "energy/isolation-too-thin": True,
    AT_STOP: False,
}
"""Rules on what keeps an energy away, and whether they excuse isolators that need no lock."""


def explained(plan: Plan, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings of a plan, those with a trace with their story; a mend is told in their help too.

    Cost: a replay of each trace, and small searches for the mend; nothing where no finding has a trace.
    """
    findings = tuple(findings)
    if not any(finding.trace for finding in findings):
        return findings
    teller = Teller(plan)
    return tuple(_explained(teller, finding) if finding.trace else finding for finding in findings)


def _explained(teller: Teller, finding: Finding) -> Finding:
    told = teller.story(finding)
    if told.mend is None:
        return replace(finding, story=told)
    return replace(finding, story=told, help=" ".join(filter(None, [finding.help, told.mend.text])))


class Teller:
    """Stories of one plan; what several of them begin with is worked out once."""

    def __init__(self, plan: Plan) -> None:
        self._runs = Runs(plan)
        self._events: dict[int, Event] = {}

    def story(self, finding: Finding) -> Story:
        """The story of a finding. Raises TraceError as `replay` does."""
        points = self._runs.along(finding.trace)
        events = tuple(self._event(before, after) for before, after in pairwise(points))
        broken = breaking(self._runs, finding)
        if broken is None:
            return Story(events)
        return Story(events, tuple(dict.fromkeys(_routes(broken))), mend(broken))

    def _event(self, before: Point, after: Point) -> Event:
        if id(after) not in self._events:  # runs keep their points, so that an id stays that of one point
            self._events[id(after)] = _event(self._runs.setup, before.state, after.state)
        return self._events[id(after)]


# ---------------------------------------------------------------------------- what a step changed


def _event(setup: Setup, was: State, now: State) -> Event:
    touched = was.off ^ now.off | was.throttled ^ now.throttled
    for field, *_ in _STANDS:
        touched |= getattr(was, field) ^ getattr(now, field)
    changes = [change for i in bits(touched) for change in _stands(was, now, i, setup.network.parts[i])]
    routes: list[Route] = []
    for carrier in setup.carriers:
        for place in bits(carrier.holders):
            held, holds = charge(setup, was, place, carrier), charge(setup, now, place, carrier)
            name, bit = setup.network.ids[place], 1 << place
            if held is not holds:
                changes.append(Change(name, holds.value, held.value, carrier.id))
            if _RISING.index(holds) > _RISING.index(held):
                routes += _arrival(setup, was, now, place, carrier)
            if (was.proven[carrier.index] ^ now.proven[carrier.index]) & bit:
                proves = now.proven[carrier.index] & bit
                changes.append(
                    Change(name, "zero verified" if proves else "zero no longer verified", "", carrier.id)
                )
    return Event(tuple(changes), tuple(routes), changed(setup.network, changes))


_RISING = (Charge.ZERO, Charge.TRAPPED, Charge.LIVE)


def _stands(was: State, now: State, place: int, part: Part) -> Iterator[Change]:
    """How a part stands that stood otherwise before."""
    bit = 1 << place
    if part.role is Role.ISOLATOR and was.position(bit) is not now.position(bit):
        yield Change(part.id, _position(part, now.position(bit)))
    bodied = part.role in {Role.ISOLATOR, Role.VENT}  # they are opened and closed in another sense
    for field, come, gone in _STANDS:
        if (getattr(was, field) ^ getattr(now, field)) & bit:
            said = come if getattr(now, field) & bit else gone
            if field == "opened" and bodied:
                said = "dismantled" if said == come else "reassembled"
            if said:
                yield Change(part.id, said)


def _position(part: Part, position: Position) -> str:
    """A position in the words of the device."""
    words = POSITION_WORDS[part.device] if part.device is not None else {}
    return next((word for word, means in words.items() if means is position), position.value).replace(
        "_", " "
    )


# ---------------------------------------------------------------------------- ways


def _arrival(setup: Setup, was: State, now: State, place: int, carrier: Carrier) -> Iterator[Route]:
    """The way by which a charge came that rose."""
    start = carrier.sources
    if charge(setup, now, place, carrier) is Charge.TRAPPED:
        charged = was.live[carrier.index] | was.trapped[carrier.index]
        start = now.trapped[carrier.index] & carrier.kept & charged & ~(1 << place) or 1 << place
    yield from _route(setup, carrier, start, place, now.off)


def _route(setup: Setup, carrier: Carrier, start: Mask, place: int, off: Mask) -> Iterator[Route]:
    places = way(setup.network, carrier.id, start, place, off)
    if places is not None:
        parts = tuple(setup.network.ids[i] for i in places)
        yield Route(carrier.id, parts, route(setup.network, carrier.id, parts))


def _routes(broken: Break) -> Iterator[Route]:
    """How the energies concerned come to the part when its rule breaks, or could."""
    setup, net = broken.setup, broken.setup.network
    if broken.rule in _AWAY or broken.part not in net.place:
        return
    place = net.place[broken.part]
    for carrier in broken.carriers():
        states = (broken.before, broken.after)
        there = (state for state in states if charge(setup, state, place, carrier) is not Charge.ZERO)
        if broken.rule == "energy/unlocked-early":  # its part is the isolator, not what stands open
            for bare in bits(broken.after.exposed & carrier.on_line):
                yield from _unbarred(broken, bare, carrier)
        elif (state := next(there, None)) is not None:
            yield from _presence(setup, state, place, carrier)
        elif broken.rule in _BARRED:
            yield from _unbarred(broken, place, carrier)


def _presence(setup: Setup, state: State, place: int, carrier: Carrier) -> Iterator[Route]:
    """From a source to a live part; to a charged one from where it is trapped, itself if it holds it."""
    start = carrier.sources
    if charge(setup, state, place, carrier) is Charge.TRAPPED:
        kept = state.trapped[carrier.index] & carrier.kept
        start = kept & 1 << place or kept
    yield from _route(setup, carrier, start, place, state.off)


def _unbarred(broken: Break, place: int, carrier: Carrier) -> Iterator[Route]:
    """The way to a dead part past what does not surely bar it: no lock, or one isolator of two asked."""
    setup, state = broken.setup, broken.after
    if charge(setup, state, place, carrier) is Charge.LIVE:
        return
    start, thin = origins(setup, state, place, carrier), broken.rule == "energy/isolation-too-thin"
    off = state.off if thin else firm(setup, state, excuses=_BARRED[broken.rule])
    reached = setup.network.danger(carrier.id, start, off) >> place & 1
    if thin or reached:
        yield from _route(setup, carrier, start, place, off)

"""The steps that bring a unit back: filled in stages, air let out, leaks looked for, power last.

29 CFR 1910.147(e): the work area is clear, nobody stands at the unit, and people are told before anything
starts. Isolators towards a supply are opened first; what feeds back (an outlet, a tank) is joined after the
joints were looked at, electricity after that (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import reduce
from operator import or_

from proctool.draft.writing.make_safe import MAKE_SAFE, covered, lockable, shut_off, stopped
from proctool.draft.writing.phrasebook import Phrases
from proctool.draft.writing.way import Way, joints_of
from proctool.draft.writing.written import Deed, Entry, Fallback, Group, Task
from proctool.model.words import WETTING, Form, Role
from proctool.network.gauges import vents_with
from proctool.network.reach import Mask, Network, bits

_LOOK = "2 min"
"""How long one looks for a leak where the library says nothing: common practice, no source."""
_ROUNDS = 2
"""So often a leak is mended before the job is given up: common practice, no source."""


def return_to_service(network: Network, way: Way, phrases: Phrases) -> Group:
    """Everything back to its normal state, each joint that was opened looked at under full pressure."""
    back = _Return(network, way, phrases)
    steps = tuple(back.steps())
    otherwise = _leaking(network, way, phrases) if back.looked else None
    return Group("return-to-service", "Return to service", steps, otherwise=otherwise)


def _leaking(network: Network, way: Way, phrases: Phrases) -> Fallback:
    """A leak leads back to where the unit is made safe; in the end it is shut off and left so.

    What nothing feeds is gone after the first time and cannot be made safe again: then the job ends at once.
    """
    off = (*phrases.stops, *stopped(network, way, phrases), *shut_off(network, way, phrases))
    steps = tuple(replace(task, why=()) for task in off)
    if any(unfed(network, vent) for vent in way.vents):
        return Fallback(steps, end_here=phrases.given_up)
    return Fallback(back_to=MAKE_SAFE, at_most=_ROUNDS, then=Fallback(steps, end_here=phrases.given_up))


def unfed(network: Network, vent: str) -> bool:
    """Whether a vent lets out a fluid that nothing feeds: a charge that somebody gave once."""
    fluids = (e for e in network.energies_of(vent) if network.unit.energies[e].fluid)
    return any(not network.sources[energy] for energy in fluids)


class _Return:
    """The way back. What is still off, still holds air and is still to be looked at is followed."""

    def __init__(self, network: Network, way: Way, phrases: Phrases) -> None:
        self.network, self.way, self.phrases = network, way, phrases
        self.fluids = [energy.id for energy in network.unit.energies.values() if energy.fluid]
        self.off = way.cut.off
        self.debts = joints_of(network, way.parts)
        self.airy = self._airy(network.mask((*way.vents, *way.parts)) | network.normally_open)
        self.looked: Mask = 0

    def steps(self) -> Iterator[Entry]:
        """All steps, in groups; one that would be empty is left out."""
        supplies, others, dry = self._by_stage()
        stay = self.way.stay_off
        again = (v for v in self.way.vents if self.network.unit.parts[v].normally_open)
        for part in covered(self.network, self.way):
            yield Task((Deed("cover", part),), self.phrases.text("cover", self.network.unit.parts[part]))
        yield from self.phrases.ready
        yield from _group("vents", (self._task("shut", vent) for vent in self.way.vents))
        yield from self._stage(supplies, ("refill", "purge", "supply", "leaks"))
        yield from self._stage(others, ("join", "purge-joined", "open-joined", "leaks-joined"))
        yield from _group("unlock", (task for name in stay for task in self._unlocked(name)))
        yield from _group("power", (t for n in dry for t in (*self._unlocked(n), self._task("restore", n))))
        yield from _group("restart", self._restart())
        yield from _group("open-vents", (self._task("vent", vent) for vent in again))
        yield from self.phrases.runs

    def _airy(self, exits: Mask) -> Mask:
        """Holders into which air may have come: they trap it, and something on their line stood open."""
        net, reached = self.network, 0
        for energy in self.fluids:
            if net.unit.energies[energy].form in WETTING and exits & net.on_line[energy]:
                reached |= net.danger(energy, exits & net.on_line[energy], self.off)
        return sum(1 << i for i in bits(reached & net.holders) if net.parts[i].traps_air)

    def _by_stage(self) -> tuple[list[str], list[str], list[str]]:
        """Isolators towards a supply of a fluid; the others on a fluid; those on none."""
        net = self.network
        names = [name for name in self.way.isolators if name not in self.way.stay_off]
        wet = [name for name in names if set(net.energies_of(name)) & set(self.fluids)]
        supplied = 0
        for energy in self.fluids:
            supplied |= net.danger(energy, net.sources[energy] & net.mask_of_roles(Role.SOURCE), self.off)
        first = [name for name in wet if supplied >> net.place[name] & 1] or wet
        return first, [n for n in wet if n not in first], [n for n in names if n not in wet]

    def _stage(self, isolators: list[str], ids: tuple[str, str, str, str]) -> Iterator[Entry]:
        """Pressure comes back in two steps, air goes between them, then one looks."""
        net = self.network
        slow = [name for name in isolators if net.unit.parts[name].throttles]
        first = [task for name in isolators for task in self._unlocked(name)]
        first += [self._task("throttle", name) for name in slow]
        first += [self._task("restore", name) for name in isolators if name not in slow]
        self.off &= ~net.mask(isolators)
        live = self._live()
        yield from _group(ids[0], first)
        yield from _group(ids[1], (task for name in net.names(self.airy & live) for task in self._bled(name)))
        yield from _group(ids[2], (self._task("restore", name) for name in slow))
        ready = self.debts & self._full() & ~self.looked
        yield from _group(ids[3], (self._look(name) for name in net.names(ready)))
        self.airy &= ~live
        self.looked |= ready

    def _fed(self, off: Mask) -> dict[str, Mask]:
        net = self.network
        return {energy: net.danger(energy, net.sources[energy], off) & net.holders for energy in self.fluids}

    def _live(self) -> Mask:
        """Holders that some fluid is fed to as the isolators stand."""
        return reduce(or_, self._fed(self.off).values(), 0)

    def _full(self) -> Mask:
        """Holders to which every fluid is fed that could be with all isolators on."""
        now, most = self._fed(self.off), self._fed(0)
        return self.network.holders & ~reduce(or_, (most[energy] & ~now[energy] for energy in self.fluids), 0)

    def _unlocked(self, name: str) -> tuple[Task, ...]:
        return (self._task("unlock", name),) if lockable(self.network, name) else ()

    def _task(self, verb: str, name: str) -> Task:
        return Task((Deed(verb, name),), self.phrases.text(verb, self.network.unit.parts[name]))

    def _bled(self, name: str) -> Iterator[Task]:
        """Air is let out of a holder through the nearest vent that surely sees it."""
        net = self.network
        liquids = (e for e in net.energies_of(name) if net.unit.energies[e].form in WETTING)
        vents = (v for e in liquids for v in vents_with(net, name, e, self.off, net.vents))
        vent = next(vents, None)
        if vent is None:
            yield Task((Deed("bleed", name),), f"Bleed the <{name}> until no air comes out.")
            return
        yield Task((Deed("vent", vent),), f"Open the <{vent}>.", id=f"open-{vent}-for-{name}")
        yield Task((Deed("bleed", name),), f"Bleed the <{name}> until no air comes out of the <{vent}>.")
        yield replace(self._task("shut", vent), id=f"shut-{vent}-after-{name}")

    def _look(self, name: str, runner: str = "") -> Task:
        """A joint is looked at; with a runner, while that runs."""
        said = self.phrases.of("leak_check", name, self.network.unit)
        text = said.text if said is not None else f"Nothing leaks at the <{name}>."
        if runner:
            text = f"While the <{runner}> runs, {text[:1].lower()}{text[1:]}"
        lasts = said.lasts if said is not None and said.lasts else _LOOK
        return Task((Deed("leak_check", name),), text, check=True, lasts=lasts)

    def _restart(self) -> Iterator[Entry]:
        """People are told, machines start, and what they put pressure on is looked at again."""
        machines = (*self.way.stops, *self.way.idle)
        if machines:
            yield from self.phrases.starts
        for name in machines:
            yield self._task("start", name)
        joints = self.network.names(self.looked)
        for name in filter(self._pumps, machines):
            yield from _group(name, (self._look(joint, name) for joint in joints))

    def _pumps(self, name: str) -> bool:
        """Whether a machine could raise the pressure of a fluid: it stands on its line and is no lamp."""
        energies = self.network.energies_of(name)
        lamp = any(self.network.unit.energies[e].form is Form.RADIATION for e in energies)
        return not lamp and any(e in self.fluids for e in energies)


def _group(id_: str, steps: Iterable[Entry]) -> Iterator[Group]:
    found = tuple(steps)
    if found:
        yield Group(id_, steps=found)

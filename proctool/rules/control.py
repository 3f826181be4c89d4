"""The order of control compiled to monitors: one for each part that is worked on and each energy it can meet.

For a part and an energy the devices of the plan that count are told by the network, with all isolators off
that the plan ever isolates or locks: those at the edge of the part's danger reach hold the energy from it,
machines inside it are shut down, whatever they run on, and vents inside it let it out. A phase that comes
when a later one of the profile is already done and still stands is out of order. Only a vent in the part's
sure reach can come too late for the part; any vent inside can come too early. What is done twice is not done
again, and once a device at the edge lets energy back the control begins anew. A reading ends where the
proof's own does: where the technician charges the part again (`dose`), or shuts the last way out of a fluid.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from proctool.model.monitor import Deed, Lapse, Memory, Monitor, Touch
from proctool.model.plan import Act, Plan, Step, every_step
from proctool.model.words import WETTING, Form, Position
from proctool.network.origins import by_vent
from proctool.network.reach import Mask, Network
from proctool.rules.feed import found, open_vents
from proctool.rules.house.pattern import energy_of
from proctool.rules.profile import Order

RULE = "energy/order-of-control"
PHASES = ("shutdown", "isolate", "lock", "relieve", "verify", "work")
_LATE = {
    "shutdown": "stopped",
    "isolate": "isolated",
    "lock": "locked",
    "relieve": "relieved",
    "verify": "verified",
    "work": "opened",
}
_DONE = {
    "shutdown": "a machine on the line of {} was stopped",
    "isolate": "{} was isolated",
    "lock": "the lock on {} was put on",
    "relieve": "{} was let out",
    "verify": "{} was verified as zero",
    "work": "a part that {} could reach was opened",
}
_EXPOSES = frozenset({"open", "uncover"})
_TOLD_BY = (
    *("energy/opened-live", "energy/opened-charged", "energy/opened-unproven", "energy/opened-unlocked"),
    *("energy/uncovered-live", "energy/wet-near-live", "energy/verified-charged", "energy/verified-blind"),
    *("energy/cut-while-running", "energy/locked-not-off"),
)
"""Rules of the proof that tell graver things of a phase out of order; then the order is not told as well."""


def monitors(plan: Plan, net: Network, order: Order) -> Iterator[Monitor]:
    """A monitor for each part that is worked on and each energy; none where the profile names no order."""
    acts = [act for step in every_step(plan.frame) for act in step.acts]
    cut = net.mask(a.part for a in acts if a.verb in {"isolate", "lock"})
    met: dict[tuple[str, str], set[str]] = {}
    for act in acts:
        if act.verb in _EXPOSES:
            for part, energy in _met(net, act.part, act.verb):
                workers = met.setdefault((part, energy), set())
                if act.verb == "open":  # a cover comes off before a tester can see zero: that is no work yet
                    workers.add(act.part)
    for (part, energy), workers in met.items():
        control = _control(plan, net, part, energy, cut, frozenset(workers), order)
        if len({kind for kind, _ in control.meaning(acts)}) > 1:
            yield control.monitor()


def _met(net: Network, part: str, verb: str) -> Iterator[tuple[str, str]]:
    """The energies that work on a part can meet: its own, and the electricity of what it could wet."""
    energies = net.energies_of(part)
    yield from ((part, energy) for energy in energies)
    if verb == "open" and any(net.unit.energies[e].form in WETTING for e in energies):
        for beside in net.unit.parts[part].near:
            for energy in net.energies_of(beside):
                if net.unit.energies[energy].form is Form.ELECTRICITY:
                    yield beside, energy


@dataclass(frozen=True, slots=True)
class _Control:
    """One part and one energy: which acts are which phase of its control."""

    plan: Plan
    net: Network
    part: str
    energy: str
    edge: Mask
    """Isolators that hold the energy from the part."""
    inside: Mask
    """What the energy could still arrive at with the part when they are off."""
    relieving: Mask
    """Vents that surely let it out of the part."""
    leaves: bool
    """Whether it leaves the part by a way out."""
    kept_open: bool
    """Whether there may be a way out besides these and the part itself."""
    workers: frozenset[str]
    ranks: dict[str, int]
    order: Order

    def phase(self, act: Act) -> str | None:
        """The phase that an act is of, or None."""
        bit = 1 << self.net.place[act.part] if act.part else 0
        match act.verb:
            case "stop" if bit & self.inside:
                return "shutdown"
            case "isolate" | "lock" if bit & self.edge:
                return act.verb
            case "vent" | "discharge" | "flush" if bit & self.inside:
                return "relieve"
            case "verify_zero" | "try_start" if bit & self._verified_at() and self._shows(act):
                return "verify"
            case "open" if act.part in self.workers:
                return "work"
        return None

    def undoes(self, act: Act) -> tuple[str, ...]:
        """The phases that an act undoes."""
        bit = 1 << self.net.place[act.part] if act.part else 0
        match act.verb:
            case "start" if bit & self.inside:
                return ("shutdown",)
            case "throttle" | "connect" | "restore" if bit & self.edge:
                off = act.verb == "restore" and self.net.unit.parts[act.part].normal is Position.OFF
                return () if off else ("isolate", "relieve", "verify")
            case "unlock" if bit & self.edge:
                return ("lock",)
            case "shut" if bit & self.inside:
                return ("relieve",)
            case "close" if act.part in self.workers:
                return ("work",)
        return ()

    def charges(self, act: Act) -> bool:
        """Whether the technician brings the energy in with an act."""
        if act.verb != "dose" or act.energy != self.energy:
            return False
        return bool(self.inside >> self.net.place[act.part] & 1)

    def meaning(self, acts: Iterable[Act]) -> Iterator[tuple[str, Act]]:
        """The acts that are of some phase, each with it."""
        for act in acts:
            kind = self.phase(act)
            if kind is not None and kind in self.ranks:
                yield kind, act

    def _verified_at(self) -> Mask:
        """Where zero is verified for the part: at itself, and at the holders next to one that is none."""
        bit = 1 << self.net.place[self.part]
        if bit & self.net.holders:
            return bit
        return bit | self.net.neighbours[self.energy][self.net.place[self.part]] & self.net.holders

    def _shows(self, act: Act) -> bool:
        if act.verb == "try_start":
            return self.net.unit.parts[act.part].runs == self.energy
        about = energy_of(self.net, act)
        if about is None and act.by is not None:
            return self.energy in self.net.energies_of(act.by)
        return about in {None, self.energy}

    # -- the automaton: for each phase the parts for which it stands

    def monitor(self) -> Monitor:
        """The monitor of this part and energy."""

        def follow(memory: Memory, deed: Deed) -> tuple[Memory, tuple[Lapse, ...]]:
            stands, lapses = dict(zip(PHASES, memory, strict=True)), []
            for act in deed.step.acts:
                bit = 1 << self.net.place[act.part] if act.part else 0
                for undone in self.undoes(act):
                    whole = undone in {"relieve", "verify"} and act.verb != "shut"
                    stands[undone] = 0 if whole else stands[undone] & ~bit
                if act.verb in {"shut", "close"} and self.leaves and not self._way_out(stands):
                    stands["verify"] = 0
                if self.charges(act) and not (self.leaves and self._way_out(stands)):
                    stands["relieve"] = stands["verify"] = 0
                kind = self.phase(act)
                if kind is None or (kind == "verify" and deed.passed is False) or stands[kind] & bit:
                    continue
                stands[kind] |= bit
                lapses += [self._lapse(act, kind, done) for done in self._too_early(kind, bit, stands)]
            return tuple(stands[phase] for phase in PHASES), tuple(lapses)

        def touches(step: Step) -> Touch:
            counts = any(self.phase(act) or self.undoes(act) or self.charges(act) for act in step.acts)
            return Touch.CHANGES if counts else Touch.NOTHING

        return Monitor(RULE, (), self._start(), touches, follow, lambda _: ())

    def _way_out(self, stands: dict[str, Mask]) -> bool:
        """Whether a fluid has a way out; while there is one, what comes in leaves at once."""
        return bool(self.kept_open or stands["relieve"] & self.relieving or stands["work"])

    def _too_early(self, kind: str, bit: Mask, stands: dict[str, Mask]) -> list[str]:
        """The first of the later phases that already stand; a lock only on the device itself."""
        if kind not in self.ranks or bit & self.net.vents & ~self.relieving:
            return []
        later = [
            phase
            for phase in PHASES
            if self.ranks.get(phase, -1) > self.ranks[kind]
            and stands[phase]
            and (kind != "isolate" or phase != "lock" or stands[phase] & bit)
        ]
        return later[:1]

    def _lapse(self, act: Act, kind: str, done: str) -> Lapse:
        parts, energy = self.net.unit.parts, self.net.unit.energies[self.energy].name
        order = ", ".join(" or ".join(p for p in PHASES if p in group) for group in self.order)
        concerned = {act.part, self.part, *self.workers}
        return Lapse(
            f"The {parts[act.part].label} is {_LATE[kind]} only after {_DONE[done].format(energy)}.",
            f"The order of control is: {order}. Move this up, or what came too early down.",
            act.part,
            (self.energy,),
            covered=tuple((rule, part) for rule in _TOLD_BY for part in sorted(concerned)),
        )

    def _start(self) -> Memory:
        """What stands at the start: devices as the unit is found, machines that do not run."""
        stands = dict.fromkeys(PHASES, 0)
        for i, part in enumerate(self.net.parts):
            bit, words = 1 << i, self.plan.starts.get(part.id, ())
            runs = "running" in words or (part.normally_running and "stopped" not in words)
            if bit & self.edge and found(self.plan, part) is Position.OFF:
                stands["isolate"] |= bit
            if bit & self.edge and "locked" in words:
                stands["lock"] |= bit
            if bit & self.inside and part.runs and not runs:
                stands["shutdown"] |= bit
            if part.id in self.workers and "open" in words:
                stands["work"] |= bit
        return tuple(stands[phase] for phase in PHASES)


def _control(
    plan: Plan, net: Network, part: str, energy: str, cut: Mask, workers: frozenset[str], order: Order
) -> _Control:
    place = net.place[part]
    bit, shut = 1 << place, cut | net.normally_off
    inside, sure = net.danger(energy, bit, shut), net.sure(energy, bit, shut)
    fluid = net.unit.energies[energy].fluid
    return _Control(
        plan=plan,
        net=net,
        part=part,
        energy=energy,
        edge=inside & cut & net.isolators,
        inside=inside,
        relieving=sure & net.vents if fluid else 0,
        leaves=by_vent(net, place, energy),
        kept_open=bool(sure & _ajar(plan, net) & ~net.mask(workers)),
        workers=workers,
        ranks={phase: rank for rank, group in enumerate(order) for phase in group},
        order=order,
    )


def _ajar(plan: Plan, net: Network) -> Mask:
    """Ways out that nobody has to turn: vents that are found open, and every part that is ever opened."""
    opened = (act.part for step in every_step(plan.frame) for act in step.acts if act.verb == "open")
    found_open = (name for name, words in plan.starts.items() if "open" in words)
    return open_vents(plan, net) | net.mask(opened) | net.mask(found_open) & ~net.isolators

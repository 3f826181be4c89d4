"""What would make things right with the unit in some state: which acts, as few as can be.

Each function answers for one kind of fault. Where nothing the unit has would do, it raises `NotToBeHadError`
with a sentence that says what is missing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from enum import Enum
from functools import reduce
from operator import or_

from proctool.model.story import Fix
from proctool.model.verdict import Charge
from proctool.model.words import Depth, Form, Lock
from proctool.network.gauges import gauges_with, vents_with
from proctool.network.missing import missing
from proctool.network.origins import Barrier, Bleed
from proctool.network.reach import Mask, bits
from proctool.network.vents import relief_with
from proctool.network.ways import way
from proctool.prove.after import firm, origins
from proctool.prove.breaks import act_of, fixed
from proctool.prove.charge import charge
from proctool.prove.phrases import labels, named
from proctool.prove.setup import Carrier, Setup
from proctool.prove.state import State
from proctool.prove.step import Acted, do_act

Targets = Mapping[str, Mask]
"""Parts by the energy that must leave them alone."""
Fixes = list[Fix]
Exposed = Iterable[tuple[int, Carrier]]
"""Parts that stand open, each with an energy that must stay away from it."""


class Relief(Enum):
    """Ways to relieve a part, to be tried in this order."""

    APART = "isolate it from what only discharge relieves, then relieve the part"
    ALONE = "relieve the part itself, if it holds the energy"
    WIDE = "relieve all from where the energy could come to it"


class NotToBeHadError(Exception):
    """Nothing the unit has would do."""


def cut(setup: Setup, state: State, targets: Targets) -> Fixes:
    """Isolate: the least set of isolators that keeps every source from the targets."""
    net = setup.network
    barriers = [Barrier(energy, net.sources[energy], mask, 1) for energy, mask in targets.items()]
    concerned = net.isolators & ~state.off & _on_lines(setup, targets)
    found = missing(net, barriers, state.off, concerned)
    if found.uncut:
        what = labels(net, reduce(or_, targets.values(), 0))
        raise NotToBeHadError(
            f"No isolator of this unit stands between {labels(net, found.uncut)} and {what}."
        )
    return [Fix("isolate", name) for name in net.names(found.isolators)]


def part_off(setup: Setup, state: State, targets: Targets) -> Fixes:
    """Isolate the targets from what comes to them out of other parts that keep it until it is discharged.

    Nothing where nothing comes so, or no isolator stands between.
    """
    net = setup.network
    barriers = []
    for energy, mask in targets.items():
        carrier = setup.by_energy[energy]
        for place in bits(mask):
            around = net.danger(energy, 1 << place, state.off) & state.trapped[carrier.index]
            keeping = around & carrier.discharged_only & ~(1 << place)
            if keeping:
                barriers.append(Barrier(energy, keeping, 1 << place, 1))
    found = missing(net, barriers, state.off, net.isolators & ~state.off & _on_lines(setup, targets))
    return [] if found.uncut else [Fix("isolate", name) for name in net.names(found.isolators)]


def relieve(setup: Setup, state: State, targets: Targets, how: Relief) -> Fixes:
    """Vent and discharge what is trapped in the targets, or comes to them from where it is trapped."""
    net = setup.network
    fixes = part_off(setup, state, targets) if how is Relief.APART else []
    state = fixed(setup, state, fixes)
    wanted: list[tuple[str, str, Mask]] = []
    discharges: dict[Fix, None] = {}
    for energy, mask in _with(setup, state, targets, Charge.TRAPPED).items():
        carrier = setup.by_energy[energy]
        trapped = state.trapped[carrier.index] & carrier.kept
        for place in bits(mask):
            around = net.danger(energy, 1 << place, state.off) & trapped
            held = around if how is Relief.WIDE or not around >> place & 1 else 1 << place
            wanted.append((net.ids[place], energy, held & carrier.leaving))
            discharges |= dict.fromkeys(_discharges(setup, state, carrier, place, held))
    relief = relief_with(net, wanted, state.off, state.vented)
    for part, energy in relief.unrelieved:
        ever = any(
            net.sure(energy, holders, net.sources[energy]) & net.vents  # what relieves does not feed
            for name, fluid, holders in wanted
            if (name, fluid) == (part, energy)
        )
        reason = "As the isolators stand, no vent" if ever else "No vent of this unit"
        name = setup.by_energy[energy].energy.name
        raise NotToBeHadError(f"{reason} surely relieves {named(net, part)} of {name}.")
    return [*fixes, *(Fix("vent", name) for name in relief.vents), *discharges]


def _discharges(setup: Setup, state: State, carrier: Carrier, place: int, held: Mask) -> Iterator[Fix]:
    """Discharges, nearest first, that reach all of what leaves only so."""
    left = held & carrier.discharged_only
    verb = "flush" if carrier.energy.form is Form.CHEMICAL else "discharge"
    for ring in setup.network.rings(carrier.id, 1 << place, state.off):
        for holder in bits(ring & left):
            if left >> holder & 1:
                yield Fix(verb, setup.network.ids[holder])
                left &= ~setup.network.danger(carrier.id, 1 << holder, state.off)


def to_zero(setup: Setup, state: State, targets: Targets, how: Relief) -> Fixes:
    """Isolate what is live in the targets, then relieve what is trapped in them."""
    live = _with(setup, state, targets, Charge.LIVE)
    fixes = cut(setup, state, live) if live else []
    return [*fixes, *relieve(setup, fixed(setup, state, fixes), targets, how)]


def _with(setup: Setup, state: State, targets: Targets, asked: Charge) -> dict[str, Mask]:
    """Those of the targets that have some charge."""
    found = {
        energy: sum(1 << i for i in bits(mask) if charge(setup, state, i, setup.by_energy[energy]) is asked)
        for energy, mask in targets.items()
    }
    return {energy: mask for energy, mask in found.items() if mask}


def prove_zero(setup: Setup, state: State, place: int, carrier: Carrier) -> Fixes:
    """Verify zero of an energy at a part, or at every holder next to it if it holds nothing itself."""
    net = setup.network
    beside = (
        1 << place if carrier.holders >> place & 1 else net.neighbours[carrier.id][place] & carrier.holders
    )
    fixes: Fixes = []
    for holder in bits(beside & ~state.proven[carrier.index]):

        def proves(done: Acted, bit: Mask = 1 << holder) -> bool:
            return bool(done.after.proven[carrier.index] & bit)

        more = look(setup, state, holder, carrier, proves)
        fixes += more
        state = fixed(setup, state, more)
    if not beside:
        what, name = carrier.energy.name, named(net, net.ids[place])
        raise NotToBeHadError(f"No part next to {name} holds {what}, so nothing can show its zero.")
    return fixes


def look(setup: Setup, state: State, holder: int, carrier: Carrier, good: Callable[[Acted], bool]) -> Fixes:
    """Verify zero at a holder by the nearest gauge that shows it, else a vent; opened first if it must."""
    net = setup.network
    name = net.ids[holder]
    shut = vents_with(net, name, carrier.id, state.off, net.vents & ~state.vented)
    covered = setup.covered & ~state.uncovered & 1 << holder
    for first in (
        [],
        *([Fix("vent", vent)] for vent in shut),
        *([[Fix("uncover", name)]] if covered else []),
    ):
        then = fixed(setup, state, first)
        gauges = [g for g in gauges_with(net, name, then.off) if net.unit.parts[g].energy == carrier.id]
        for by in (*gauges, *vents_with(net, name, carrier.id, then.off, then.vented)):
            fix = Fix("verify_zero", name, by)
            if good(do_act(setup, then, act_of(setup, fix), None)):
                return [*first, fix]
    what = f"{carrier.energy.name} at {named(net, name)}"
    raise NotToBeHadError(f"As the isolators stand, no gauge and no vent can show zero of {what}.")


def secure(setup: Setup, state: State, exposed: Exposed, *, excuses: bool = True) -> Fixes:
    """Lock: the least set of isolators that keeps away all that nothing secures."""
    net = setup.network
    sure = firm(setup, state, excuses=excuses)
    barriers = [
        Barrier(carrier.id, origins(setup, state, place, carrier), 1 << place, 1)
        for place, carrier in exposed
    ]
    bare = net.mask(part.id for part in net.parts if part.lock is Lock.NONE)
    found = missing(net, barriers, sure, state.off & ~sure & ~bare)
    if found.uncut:
        found = missing(net, barriers, sure, state.off & ~sure)
        raise NotToBeHadError(
            f"No lock fits {labels(net, found.isolators & bare)}, and nothing else that is off keeps it away."
        )
    return [Fix("lock", name) for name in net.names(found.isolators)]


def deepen(setup: Setup, state: State, exposed: Exposed, *, again: bool = True) -> Fixes:
    """Isolate once more, and open the bleed between, so that one isolator that leaks does no harm.

    A part that is charged, with no two isolators between it and what stands open, is relieved instead.
    """
    net, exposed = setup.network, tuple(exposed)
    starts = [(place, carrier, origins(setup, state, place, carrier)) for place, carrier in exposed]
    barriers = [Barrier(carrier.id, start, 1 << place, 2) for place, carrier, start in starts]
    bleeds = [
        Bleed(carrier.id, start, 1 << place)
        for place, carrier, start in starts
        if carrier.energy.depth is Depth.DOUBLE_BLOCK_AND_BLEED
    ]
    energies = {carrier.id: carrier.holders for _, carrier in exposed}
    free = net.isolators & ~state.off & _on_lines(setup, energies)
    found = missing(net, barriers, state.off, free, bleeds, state.vented)
    what = labels(net, reduce(or_, (1 << place for place, _ in exposed), 0))
    if found.uncut:
        charged = {energy: found.uncut & holders for energy, holders in energies.items()}
        try:
            relief = to_zero(setup, state, charged, Relief.WIDE) if again else []
        except NotToBeHadError:
            relief = []
        if not relief:
            between = f"{labels(net, found.uncut)} and {what}"
            raise NotToBeHadError(f"This unit has no two isolators between {between}.")
        return [*relief, *deepen(setup, fixed(setup, state, relief), exposed, again=False)]
    if found.unbled:
        raise NotToBeHadError(f"This unit has no double block and bleed for {what}.")
    return [
        *(Fix("isolate", name) for name in net.names(found.isolators)),
        *(Fix("vent", name) for name in net.names(found.vents)),
    ]


def feed(setup: Setup, state: State, place: int, carriers: Iterable[Carrier], *, full: bool) -> Fixes:
    """Turn on the isolators on the way from a source to a part, those that throttle too if `full`."""
    net = setup.network
    fixes: dict[Fix, None] = {}
    for carrier in carriers:
        off = state.off | (state.throttled if full else 0)
        unusual = net.normally_off & off  # a bypass stays shut, if there is another way
        path = way(net, carrier.id, carrier.sources, place, off, unusual) or way(
            net, carrier.id, carrier.sources, place, off
        )
        for i in path or ():
            if (off & net.isolators) >> i & 1 and i != place:
                if state.locked >> i & 1:
                    fixes[Fix("unlock", net.ids[i])] = None
                fixes[Fix("connect", net.ids[i])] = None
        if not path:
            raise NotToBeHadError(f"No source feeds {carrier.energy.name} to {named(net, net.ids[place])}.")
    return list(fixes)


def pressurise(setup: Setup, state: State, place: int) -> Fixes:
    """What a leak check of a holder asks for: it shut, its fluids at full pressure, no way out open."""
    net, bit = setup.network, 1 << place
    fixes = [Fix("close", net.ids[place])] if state.opened & bit else []
    fluids = [
        c for c in setup.fluids if c.holders & bit and c.sources and net.danger(c.id, c.sources, 0) & bit
    ]
    feeding = feed(setup, state, place, fluids, full=True)
    fed = fixed(setup, fixed(setup, state, fixes), feeding)
    for carrier in fluids:
        reached = net.danger(carrier.id, bit, fed.off) & carrier.on_line
        fixes += (Fix("shut", name) for name in net.names(reached & fed.vented))
        fixes += (Fix("close", name) for name in net.names(reached & fed.opened))
    return [*dict.fromkeys(fixes), *feeding]


def _on_lines(setup: Setup, energies: Iterable[str]) -> Mask:
    return reduce(or_, (setup.by_energy[energy].on_line for energy in energies), 0)

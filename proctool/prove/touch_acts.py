"""What each act itself reads and writes: one small function for each verb, (view, act) -> (reads, writes).

It goes with `acts`: what an act asks for there it reads here, what it changes there it writes here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from proctool.model.plan import Act
from proctool.model.words import Form, Role
from proctool.network.reach import Mask, bits
from proctool.prove.setup import Carrier
from proctool.prove.things import (
    AIR,
    CHARGE,
    DISCHARGED,
    LOCKED,
    LOOSE,
    OPENED,
    OWED,
    POSITION,
    PROVEN,
    RUNNING,
    UNCOVERED,
    UNINSPECTED,
    VENTED,
    Things,
    View,
)

Touched = tuple[Things, Things]
"""What is read, and what is written."""


def _place(view: View, act: Act) -> tuple[int, Mask]:
    place = view.setup.network.place[act.part]
    return place, 1 << place


def _isolate(view: View, act: Act) -> Touched:
    _, bit = _place(view, act)
    return 0, view.at(POSITION, bit)


def _move(view: View, act: Act) -> Touched:
    _, bit = _place(view, act)
    return view.at(LOCKED, bit), view.at(POSITION, bit)


def _lock(view: View, act: Act) -> Touched:
    _, bit = _place(view, act)
    return view.at(POSITION, bit), view.at(LOCKED, bit)


def _unlock(view: View, act: Act) -> Touched:
    _, bit = _place(view, act)
    return 0, view.at(LOCKED, bit)


def _vent(view: View, act: Act) -> Touched:
    """A vent on a line of heat asks for the heat of all that may flow out."""
    place, bit = _place(view, act)
    reads = 0
    for c in view.setup.of_part[place]:
        if c.energy.form is Form.HEAT and not view.setup.network.parts[place].piped:
            every = view.setup.network.isolators
            reads |= view.at(POSITION, every) | view.of(c, CHARGE, c.holders)
    return reads, view.at(VENTED, bit)


def _shut(view: View, act: Act) -> Touched:
    _, bit = _place(view, act)
    return 0, view.at(VENTED, bit)


def _let_go(view: View, act: Act, carriers: Iterable[Carrier]) -> Touched:
    place, bit = _place(view, act)
    reads = writes = 0
    for c in carriers:
        if c.discharged_only & bit:
            zone = view.zone(c, place)
            reads |= view.of(c, CHARGE, bit) | view.at(POSITION, zone)
            writes |= view.of(c, DISCHARGED, zone)
    return reads, writes


def _discharge(view: View, act: Act) -> Touched:
    return _let_go(view, act, view.setup.carriers)


def _flush(view: View, act: Act) -> Touched:
    return _let_go(view, act, (c for c in view.setup.carriers if c.energy.form is Form.CHEMICAL))


def _dose(view: View, act: Act) -> Touched:
    place, _ = _place(view, act)
    c = view.setup.by_energy[act.energy or ""]
    zone = view.zone(c, place)
    return view.at(POSITION, zone), view.of(c, CHARGE, zone) | view.of(c, DISCHARGED, zone)


def _verify_zero(view: View, act: Act) -> Touched:
    setup = view.setup
    _, bit = _place(view, act)
    by = setup.network.parts[setup.network.place[act.by or ""]]
    by_bit = 1 << setup.network.place[by.id]
    reads = writes = 0
    if by.role is Role.GAUGE:
        shown = [c for c in setup.carriers if c.id == by.energy]
        reads |= view.at(UNCOVERED, bit)
        goal = 0 if by.at == "any" else 1 << setup.network.place[by.at or ""]
    else:
        shown = [c for c in setup.fluids if c.holders & bit and c.on_line & by_bit]
        reads |= view.at(VENTED, by_bit)
        goal = by_bit
    for c in shown:
        if c.holders & bit:
            reads |= _seen(view, c, bit, goal) | view.of(c, CHARGE, bit)
            writes |= view.of(c, PROVEN, bit)
    return reads, writes


def _seen(view: View, c: Carrier, bit: Mask, goal: Mask) -> Things:
    """On what it hangs whether a part is in the sure reach of another: nothing, if it always or never is."""
    net, low, high = view.setup.network, view.within.low, view.within.high
    always = net.sure(c.id, bit, high.off) & goal
    never = not net.sure(c.id, bit, low.off) & goal
    return 0 if always or never else view.at(POSITION, c.on_line)


def _open(view: View, act: Act) -> Touched:
    setup = view.setup
    place, bit = _place(view, act)
    reads = 0
    for c in setup.of_part[place]:
        reads |= view.charge_of(c, place) | view.proof_of(c, place)
    if setup.wetting & bit:
        for n in bits(setup.near[place]):
            reads |= view.charges_of(setup.electric, n)
    owing = bit if bit & setup.network.holders else setup.fluid_holders_next_to(place)
    writes = view.at(OPENED, bit) | view.at(UNINSPECTED, bit) | view.at(OWED, owing)
    return reads, writes | view.at(AIR, bit) | view.at(LOOSE, bit)


def _uncover(view: View, act: Act) -> Touched:
    place, bit = _place(view, act)
    return view.charges_of(view.setup.electric, place), view.at(UNCOVERED, bit)


def _cover(view: View, act: Act) -> Touched:
    _, bit = _place(view, act)
    return 0, view.at(UNCOVERED, bit)


def _seal(view: View, act: Act) -> Touched:
    _, bit = _place(view, act)
    return 0, view.at(UNINSPECTED, bit)


def _close(view: View, act: Act) -> Touched:
    _, bit = _place(view, act)
    return view.at(UNINSPECTED, bit), view.at(OPENED, bit)


def _leak_check(view: View, act: Act) -> Touched:
    """A way out anywhere in the danger reach of the holder counts, beyond its zone too."""
    setup, low, high = view.setup, view.within.low, view.within.high
    place, bit = _place(view, act)
    exits = high.vented | high.opened
    reads = view.at(OPENED, bit)
    for c in setup.fluids:
        if not c.holders & bit:
            continue
        reads |= view.of(c, CHARGE, bit) | view.at(POSITION, view.zone(c, place))
        if setup.network.danger(c.id, bit, low.off) & exits & c.on_line:
            reads |= view.switches(c.on_line)
    return reads, view.at(OWED, bit)


def _bleed(view: View, act: Act) -> Touched:
    place, bit = _place(view, act)
    return view.charges_of(view.setup.fluids, place), view.at(AIR, bit)


def _driven(view: View, act: Act) -> Things:
    place, _ = _place(view, act)
    c = view.setup.by_energy.get(view.setup.network.parts[place].runs or "")
    return view.charge_of(c, place) if c is not None else 0


def _stop(view: View, act: Act) -> Touched:
    _, bit = _place(view, act)
    return 0, view.at(RUNNING, bit)


def _start(view: View, act: Act) -> Touched:
    _, bit = _place(view, act)
    return _driven(view, act), view.at(RUNNING, bit)


def _try_start(view: View, act: Act) -> Touched:
    return _driven(view, act), 0


def _joint(view: View, act: Act) -> Touched:
    place, bit = _place(view, act)
    return view.at(OPENED, bit) | view.charges_of(view.setup.fluids, place), view.at(LOOSE, bit)


def _inside(view: View, act: Act) -> Touched:
    net = view.setup.network
    if act.part:
        parts = net.mask([act.part])
    else:
        parts = net.mask(part.id for part in net.parts if act.what and act.what in part.properties)
    return view.at(OPENED, parts) | view.at(UNCOVERED, parts), 0


def _nothing(view: View, act: Act) -> Touched:
    return 0, 0


ACTS: dict[str, Callable[[View, Act], Touched]] = {
    "isolate": _isolate,
    "throttle": _move,
    "connect": _move,
    "restore": _move,
    "lock": _lock,
    "unlock": _unlock,
    "vent": _vent,
    "shut": _shut,
    "discharge": _discharge,
    "dose": _dose,
    "flush": _flush,
    "verify_zero": _verify_zero,
    "open": _open,
    "uncover": _uncover,
    "cover": _cover,
    "inspect_seal": _seal,
    "new_seal": _seal,
    "close": _close,
    "leak_check": _leak_check,
    "bleed": _bleed,
    "stop": _stop,
    "start": _start,
    "try_start": _try_start,
    "tighten": _joint,
    "loosen": _joint,
    "adjust": _joint,
    "prove_tester": _nothing,
    "tell": _nothing,
    "fit": _inside,
    "remove": _inside,
    "clean": _inside,
    "lubricate": _inside,
}
"""Every plain act."""

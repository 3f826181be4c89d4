"""What each plain act does to the unit, and what it asks before it is done.

One small function per act: (setup, state, act, passed) -> (state, reports). An act whose condition fails is
reported and still done. When a check has failed (`passed` is False) its acts are done, but they prove, pay,
discharge and inspect nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import reduce
from operator import or_

from proctool.model.plan import Act
from proctool.model.verdict import Charge
from proctool.model.words import Form, Position, Role
from proctool.network.reach import Mask, bits
from proctool.prove.charge import charge, full_reach, proven
from proctool.prove.report import Done, Report
from proctool.prove.setup import Carrier, Setup
from proctool.prove.state import State, opened, positioned
from proctool.prove.zero import verify_zero

Effect = Callable[[Setup, State, Act, bool], Done]


def _place(setup: Setup, act: Act) -> tuple[int, Mask]:
    place = setup.network.place[act.part]
    return place, 1 << place


def _isolate(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    _, bit = _place(setup, act)
    return positioned(state, bit, Position.OFF), []


def _move(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    """throttle, connect, restore: a locked isolator does not move."""
    place, bit = _place(setup, act)
    normal = setup.network.parts[place].normal
    target = {"throttle": Position.PART, "connect": Position.ON, "restore": normal}[act.verb]
    moved = state.locked & bit and state.position(bit) is not target
    return positioned(state, bit, target), [Report("energy/moved-locked", act.part)] if moved else []


def _lock(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    _, bit = _place(setup, act)
    reports = [] if state.off & bit else [Report("energy/locked-not-off", act.part)]
    return state._replace(locked=state.locked | bit), reports


def _unlock(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    _, bit = _place(setup, act)
    return state._replace(locked=state.locked & ~bit), []


def _vent(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    """Where the vent is not piped away, no heat of its line may be in what it lets out."""
    place, bit = _place(setup, act)
    carriers = () if setup.network.parts[place].piped else setup.of_part[place]
    out = reduce(or_, (setup.network.danger(c.id, bit, state.off) for c in carriers if c.energy.fluid), bit)
    hot = [
        Report("energy/vented-hot", act.part, c.id)
        for c in carriers
        if c.energy.form is Form.HEAT
        and (
            (state.live[c.index] | state.trapped[c.index]) & out
            or charge(setup, state, place, c) is not Charge.ZERO
        )
    ]
    return state._replace(vented=state.vented | bit), hot


def _shut(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    _, bit = _place(setup, act)
    return state._replace(vented=state.vented & ~bit), []


def _let_go(setup: Setup, state: State, act: Act, passed: bool, carriers: Iterable[Carrier]) -> Done:
    """Discharge some energies of a holder, and every holder in its danger reach with it.

    A holder there whose fluid leaves through a way out is not relieved by that: what lies between may block.
    """
    _, bit = _place(setup, act)
    discharged, reports = list(state.discharged), []
    for carrier in carriers:
        if not carrier.discharged_only & bit:
            continue
        if state.live[carrier.index] & bit:
            reports.append(Report("energy/discharged-live", act.part, carrier.id))
        elif passed:
            reach = setup.network.danger(carrier.id, bit, state.off)
            discharged[carrier.index] |= reach & carrier.discharged_only
    return state._replace(discharged=tuple(discharged)), reports


def _discharge(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    return _let_go(setup, state, act, passed, setup.carriers)


def _flush(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    chemicals = (c for c in setup.carriers if c.energy.form is Form.CHEMICAL)
    return _let_go(setup, state, act, passed, chemicals)


def _dose(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    _, bit = _place(setup, act)
    carrier = setup.by_energy[act.energy or ""]
    i = carrier.index
    reach = setup.network.danger(carrier.id, bit, state.off) & carrier.holders & ~state.live[i]
    trapped, discharged = list(state.trapped), list(state.discharged)
    trapped[i] |= reach
    discharged[i] &= ~reach
    return state._replace(trapped=tuple(trapped), discharged=tuple(discharged)), []


def _open(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    place, bit = _place(setup, act)
    reports = []
    for carrier in setup.of_part[place]:
        held = charge(setup, state, place, carrier)
        if held is Charge.LIVE:
            reports.append(Report("energy/opened-live", act.part, carrier.id))
        elif held is Charge.TRAPPED:
            reports.append(Report("energy/opened-charged", act.part, carrier.id))
        elif not proven(setup, state, place, carrier):
            reports.append(Report("energy/opened-unproven", act.part, carrier.id))
    if setup.wetting & bit:
        for n in bits(setup.near[place]):
            reports += (
                Report("energy/wet-near-live", setup.network.ids[n], c.id)
                for c in setup.electric
                if charge(setup, state, n, c) is not Charge.ZERO
            )
    return opened(setup, state, place), reports


def _uncover(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    _, bit = _place(setup, act)
    reports = [
        Report("energy/uncovered-live", act.part, c.id) for c in setup.electric if state.live[c.index] & bit
    ]
    return state._replace(uncovered=state.uncovered | bit), reports


def _cover(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    _, bit = _place(setup, act)
    return state._replace(uncovered=state.uncovered & ~bit), []


def _seal(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    """inspect_seal, new_seal."""
    _, bit = _place(setup, act)
    return (state._replace(uninspected=state.uninspected & ~bit) if passed else state), []


def _close(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    _, bit = _place(setup, act)
    unseen = state.opened & state.uninspected & bit
    reports = [Report("leak/seal-not-inspected", act.part)] if unseen else []
    return state._replace(opened=state.opened & ~bit), reports


def _leak_check(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    """Pays the debt when every fluid that can be fed stands on the holder at full pressure."""
    _, bit = _place(setup, act)
    if state.opened & bit:
        return state, [Report("leak/checked-open", act.part)]
    net = setup.network
    fed = [c for c in setup.fluids if c.holders & bit and c.sources and net.danger(c.id, c.sources, 0) & bit]
    exits = state.vented | state.opened
    dry = [
        Report("leak/checked-dry", act.part, c.id)
        for c in fed
        if not state.live[c.index] & bit or net.danger(c.id, bit, state.off) & exits & c.on_line
    ]
    if dry or not passed or not all(full_reach(setup, state, c) & bit for c in fed):
        return state, dry
    return state._replace(owed=state.owed & ~bit), []


def _bleed(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    _, bit = _place(setup, act)
    wet = any(state.live[c.index] & bit for c in setup.fluids)
    return state._replace(air=state.air & ~bit), [] if wet else [Report("leak/bled-dry", act.part)]


def _driven(setup: Setup, state: State, act: Act) -> tuple[bool, str | None]:
    """Whether a part's driving energy is live, and which it is."""
    place, _ = _place(setup, act)
    energy = setup.network.parts[place].runs
    carrier = setup.by_energy.get(energy or "")
    return carrier is not None and charge(setup, state, place, carrier) is Charge.LIVE, energy


def _stop(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    _, bit = _place(setup, act)
    return state._replace(running=state.running & ~bit), []


def _start(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    _, bit = _place(setup, act)
    live, energy = _driven(setup, state, act)
    reports = [] if live else [Report("energy/started-dead", act.part, energy)]
    return state._replace(running=state.running | bit), reports


def _try_start(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    live, energy = _driven(setup, state, act)
    return state, [Report("energy/tried-live", act.part, energy)] if live else []


def _joint(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    """tighten, loosen, adjust: nothing is turned on a shut joint under pressure."""
    place, bit = _place(setup, act)
    if state.opened & bit:
        return state, []
    reports = [
        Report("leak/worked-under-pressure", act.part, c.id)
        for c in setup.fluids
        if charge(setup, state, place, c) is not Charge.ZERO
    ]
    if act.verb == "tighten":
        state = state._replace(loose=state.loose & ~bit)
    elif act.verb == "loosen":
        state = state._replace(loose=state.loose | bit & setup.tightened)
    return state, reports


def _inside(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    """fit, remove, clean, lubricate: what is inside a part is reached only while it stands open.

    The part is the named one, else one that has the named property. Words that no part has as a property name
    nothing inside; nothing is inside a source or a portable tester.
    """
    net = setup.network
    if act.part:
        part = net.parts[net.place[act.part]]
        within = [] if part.role is Role.SOURCE or part.at == "any" else [part.id]
    else:
        within = [part.id for part in net.parts if act.what and act.what in part.properties]
    shut = within and not net.mask(within) & state.exposed
    return state, [Report("graph/act-unopened", within[0])] if shut else []


def _nothing(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    """Acts that change no energy; other rules look at them."""
    return state, []


EFFECTS: dict[str, Effect] = {
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
    "verify_zero": verify_zero,
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

"""What is asked after every act, compared with before it."""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.plan import Act
from proctool.model.verdict import Charge
from proctool.model.words import Depth
from proctool.network.reach import Mask, bits
from proctool.prove.charge import charge, full_reach
from proctool.prove.report import Report
from proctool.prove.setup import Carrier, Setup
from proctool.prove.state import State


def after_act(setup: Setup, before: State, after: State, act: Act) -> list[Report]:
    """Everything that an act has newly made wrong."""
    if before == after:
        return []
    ids = setup.network.ids
    return [
        *(Report(rule, ids[place], energy) for rule, place, energy in _risen(setup, before, after)),
        *(Report(rule, ids[place], energy) for rule, place, energy in _driven(setup, before, after)),
        *(Report(rule, ids[place], energy) for rule, place, energy in _filled(setup, before, after)),
        *_exposed(setup, before, after, act),
    ]


Found = Iterator[tuple[str, int, str]]


def _charges(
    setup: Setup, before: State, after: State, place: int, carrier: Carrier
) -> tuple[Charge, Charge]:
    return charge(setup, before, place, carrier), charge(setup, after, place, carrier)


def _rose(setup: Setup, before: State, after: State, place: int, carrier: Carrier) -> bool:
    """Whether a part's charge of an energy rose from zero."""
    was, now = _charges(setup, before, after, place, carrier)
    return was is Charge.ZERO and now is not Charge.ZERO


def let_in(setup: Setup, before: State, after: State, place: int, carrier: Carrier) -> bool:
    """Whether an act joins an opened part at zero to a holder that was charged.

    A fluid that leaves by the opening is gone from both after the act: the part never holds it, and yet it
    came out at the hands of whoever works there.
    """
    if not before.opened >> place & 1 or before.off == after.off or not carrier.energy.fluid:
        return False
    if charge(setup, before, place, carrier) is not Charge.ZERO:
        return False
    charged = origins(setup, before, place, carrier) & ~carrier.sources
    return bool(setup.network.danger(carrier.id, charged, after.off) >> place & 1) if charged else False


def _risen(setup: Setup, before: State, after: State) -> Found:
    for place in bits(after.opened):
        for carrier in setup.of_part[place]:
            if _rose(setup, before, after, place, carrier) or let_in(setup, before, after, place, carrier):
                yield "energy/energised-open", place, carrier.id
    for place in bits(after.uncovered & ~after.opened):
        for carrier in setup.electric:
            if _rose(setup, before, after, place, carrier):
                yield "energy/energised-open", place, carrier.id
    for place in bits(after.owed):
        for beside in bits(setup.near[place]):
            for carrier in setup.electric:
                if _rose(setup, before, after, beside, carrier):
                    yield "leak/power-before-check", beside, carrier.id


def _driven(setup: Setup, before: State, after: State) -> Found:
    for place, energy in setup.runs:
        if after.running >> place & 1:
            was, now = _charges(setup, before, after, place, setup.by_energy[energy])
            if was is Charge.LIVE and now is not Charge.LIVE:
                yield "energy/cut-while-running", place, energy
            elif was is not Charge.LIVE and now is Charge.LIVE:
                yield "energy/started-by-restoring", place, energy


def _filled(setup: Setup, before: State, after: State) -> Found:
    """Refilling: joints tight, pressure in stages, air let out before full pressure."""
    holders = setup.holds_fluid
    for carrier in setup.fluids:
        i = carrier.index
        rose = (after.live[i] | after.trapped[i]) & ~(before.live[i] | before.trapped[i])
        for place in bits(rose & after.loose & ~after.opened & holders):
            yield "leak/not-tightened", place, carrier.id
        if not carrier.throttled:
            continue
        full = full_reach(setup, after, carrier) & carrier.holders
        for place in bits(after.owed & after.live[i] & ~before.live[i] & full):
            yield "leak/filled-at-once", place, carrier.id
        newly_full = full & ~full_reach(setup, before, carrier)
        for place in bits(newly_full & after.air & ~after.opened):
            yield "leak/full-before-bleed", place, carrier.id


def _exposed(setup: Setup, before: State, after: State, act: Act) -> Iterator[Report]:
    """Isolation of what stands opened or uncovered: secured, and as deep as its energy asks."""
    for place in bits(after.exposed):
        part = setup.network.ids[place]
        for carrier in setup.of_part[place]:
            if not _asked(setup, after, place, carrier):
                continue
            asked_before = _asked(setup, before, place, carrier)
            if not secured(setup, after, place, carrier) and (
                not asked_before or secured(setup, before, place, carrier)
            ):
                if act.verb == "unlock":
                    yield Report("energy/unlocked-early", act.part, carrier.id)
                else:
                    yield Report("energy/opened-unlocked", part, carrier.id)
            if carrier.energy.depth is Depth.SINGLE:
                continue
            if not deep(setup, after, place, carrier) and (
                not asked_before or deep(setup, before, place, carrier)
            ):
                yield Report("energy/isolation-too-thin", part, carrier.id)


def _asked(setup: Setup, state: State, place: int, carrier: Carrier) -> bool:
    """Isolation is asked for where a part stands opened or uncovered and is not live anyway."""
    return bool(state.exposed >> place & 1) and charge(setup, state, place, carrier) is not Charge.LIVE


def origins(setup: Setup, state: State, place: int, carrier: Carrier) -> Mask:
    """Where an energy could come from: the sources, and charged holders that a part does not reach now."""
    charged = state.live[carrier.index] | state.trapped[carrier.index]
    reached = setup.network.danger(carrier.id, 1 << place, state.off)
    return carrier.sources | charged & ~reached


def firm(setup: Setup, state: State, *, excuses: bool = True) -> Mask:
    """Isolators that are off and stay so: locked or, if `excuses`, under exclusive control."""
    return state.off & (state.locked | setup.excused if excuses else state.locked)


def secured(setup: Setup, state: State, place: int, carrier: Carrier, *, excuses: bool = True) -> bool:
    """Whether a part stays cut off when every isolator that nothing secures is turned on.

    Secured are isolators that are locked or, if `excuses`, under exclusive control.
    """
    start, off = origins(setup, state, place, carrier), firm(setup, state, excuses=excuses)
    return not start or not setup.network.danger(carrier.id, start, off) >> place & 1


def deep(setup: Setup, state: State, place: int, carrier: Carrier) -> bool:
    """Whether isolation is as deep as the energy asks: no single failing isolator lets it through.

    For double block and bleed, what one failing isolator lets through must also find an open vent. Only those
    isolators count from which the part would be arrived at without going back into what is live already.
    """
    net, bit = setup.network, 1 << place
    start = origins(setup, state, place, carrier)
    if not start:
        return True
    bleed = carrier.energy.depth is Depth.DOUBLE_BLOCK_AND_BLEED
    now = net.danger(carrier.id, start, state.off)
    for i in bits(state.off & carrier.on_line):
        failed = 1 << i
        if bleed and not net.within(carrier.id, failed, 0, now & ~failed) & bit:
            continue
        then = net.danger(carrier.id, start, state.off & ~failed)
        if then & bit:
            return False
        newly = then & ~now
        if bleed and newly and not newly & state.vented:
            return False
    return True

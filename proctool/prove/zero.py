"""Verifying zero: what a gauge, a tester or an open vent can show at a holder, and whether it is so."""

from __future__ import annotations

from proctool.model.plan import Act
from proctool.model.unit import Part
from proctool.model.verdict import Charge
from proctool.model.words import Role
from proctool.prove.charge import charge
from proctool.prove.report import Done, Report
from proctool.prove.setup import Carrier, Setup
from proctool.prove.state import State


def verify_zero(setup: Setup, state: State, act: Act, passed: bool) -> Done:
    """By a gauge: the gauge's energy. By an open vent: each fluid of the holder on the vent's line."""
    net = setup.network
    place = net.place[act.part]
    bit = 1 << place
    by = net.parts[net.place[act.by or ""]]
    by_bit = 1 << net.place[by.id]
    verified, reports = list(state.proven), []
    if by.role is Role.GAUGE:
        shown = [c for c in setup.carriers if c.id == by.energy]
    else:
        shown = [c for c in setup.fluids if c.holders & bit and c.on_line & by_bit]
        if not shown:
            reports.append(Report("energy/verified-blind", act.part))
    for carrier in shown:
        if not _sees(setup, state, place, carrier, by):
            reports.append(Report("energy/verified-blind", act.part, carrier.id))
        elif charge(setup, state, place, carrier) is not Charge.ZERO:
            reports.append(Report("energy/verified-charged", act.part, carrier.id))
        elif passed:
            verified[carrier.index] |= bit
    return state._replace(proven=tuple(verified)), reports


def _sees(setup: Setup, state: State, place: int, carrier: Carrier, by: Part) -> bool:
    """Whether a gauge, a portable tester or an open vent can show zero of an energy at a holder."""
    net, bit = setup.network, 1 << place
    if not carrier.holders & bit:
        return False
    sure = net.sure(carrier.id, bit, state.off)
    if by.role is Role.VENT:
        return bool(state.vented & sure & 1 << net.place[by.id])
    if by.at == "any":
        return not setup.covered & bit or bool(state.uncovered & bit)
    return bool(sure >> net.place[by.at or ""] & 1)

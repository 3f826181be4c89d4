"""Exclusive control of a plug is claimed only where that plug is the one source and nothing is stored.

Why: A plug in one's own hand holds off what comes through its cord, and nothing else. A pump on a water main
is still under pressure when it is unplugged, and a capacitor is still charged.

Source: 29 CFR 1910.147(a)(2)(iii)(A): cord and plug equipment under the exclusive control of who does the
work. One source and no stored energy: the tests of a national laboratory for it.

Bad::

    unit:
      lockout: exclusive_control

Good::

    unit:
      lockout: required
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.span import Span
from proctool.model.words import KEPT_BY_ALL, Control, Device, Role
from proctool.network.reach import Mask, Network, bits
from proctool.rules.rule import Rule, Seen, UnitSubject


def _check(subject: UnitSubject) -> Iterator[Seen]:
    unit, net = subject.unit, subject.network
    isolators = [part for part in unit.parts.values() if part.role is Role.ISOLATOR]
    for part in isolators:
        if part.exclusive_control and (why := _unfit(net, net.mask([part.id]))):
            key = part.properties.key("exclusive_control")
            yield _seen(
                f"Exclusive control of the {part.label}", why, key.span if key else part.span, part.id
            )
    if unit.control is Control.EXCLUSIVE:
        plugs = net.mask(part.id for part in isolators if part.device is Device.PLUG)
        if why := _unfit(net, plugs):
            yield _seen(f"Exclusive control of unit {unit.id}", why, unit.span, None)


def _seen(what: str, why: str, span: Span, part: str | None) -> Seen:
    return Seen(
        span,
        f"{what} is claimed, but {why}.",
        "Require lockout: locks on every isolator instead of a plug in the hand.",
        part=part,
    )


def _unfit(net: Network, plug: Mask) -> str | None:
    """What stands against exclusive control of an isolator, in words; None where nothing does."""
    unit = net.unit
    named = [net.parts[i] for i in bits(plug)]
    if len(named) != 1 or named[0].device is not Device.PLUG:
        return "it is no plug" if len(named) == 1 else f"the unit has {len(named) or 'no'} plugs, not one"
    sources = {name: None for energy in net.energies for name in net.names(net.sources[energy])}
    for energy in net.energies:
        live = net.danger(energy, net.sources[energy], plug) & net.holders if net.sources[energy] else 0
        if live:
            feeding = " and the ".join(unit.parts[n].label for n in net.names(net.sources[energy]))
            return f"with it unplugged the {feeding} still feeds {unit.energies[energy].name}"
    if len(sources) > 1:
        return f"it has more than one source: {', '.join(unit.parts[n].label for n in sources)}"
    for kind in unit.energies.values():
        keeping = net.holders if kind.form in KEPT_BY_ALL else net.stores
        stored = keeping & net.on_line[kind.id]
        if stored and not kind.brought:
            return f"{kind.name} stays stored in the {unit.parts[net.names(stored)[0]].label}"
    return None


RULE = Rule("unit/control-unfit", page=__doc__, unit=_check)

"""Each part that is opened has a way out for its energy, something that sees zero, and an isolator each way.

Why: If a unit gives no way to cut, relieve or verify an energy, no procedure for it can be safe. That is a
fault of the unit, to be told to its maker, and not of the procedure.

Source: 29 CFR 1910.147(d)(3), (d)(5) and (d)(6); Regulation (EU) 2023/1230 Annex III 1.6.3.

Bad::

    unit:
      energies:
        air:
          form: gas_pressure
          normal: 6 bar
          safe: 0 bar
          warning: {word: warning, hazard: Air under pressure., harm: It can injure you., avoid: Verify zero.}
      parts: {compressor: {role: source, name: air main}}
      lines: {air: {energy: air, path: [compressor, housing]}}

Good::

    unit:
      energies:
        air:
          form: gas_pressure
          normal: 6 bar
          safe: 0 bar
          warning: {word: warning, hazard: Air under pressure., harm: It can injure you., avoid: Verify zero.}
      parts:
        compressor: {role: source, name: air main}
        air_valve: {role: isolator, device: valve, name: air valve, tag: V7, place: at the wall, lock: hasp}
        air_drain: {role: vent, name: air relief valve, tag: V8, to: room air}
        air_gauge: {role: gauge, name: air gauge, tag: P7, at: housing, energy: air, span: 10 bar}
      lines: {air: {energy: air, path: [compressor, air_valve, housing, air_drain]}}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.words import Role
from proctool.network.cuts import isolators_of, sees, vents_of
from proctool.network.reach import Network, bits
from proctool.rules.rule import Rule, Seen, UnitSubject


def _check(subject: UnitSubject) -> Iterator[Seen]:
    unit = subject.unit
    for part in (part for part in unit.parts.values() if part.id in subject.opened):
        for energy in subject.network.energies_of(part.id):
            lacking = [
                *_fed(subject, part.id, energy),
                *_unrelieved(subject, part.id, energy),
                *_unseen(subject, part.id, energy),
            ]
            if lacking:
                yield Seen(
                    part.span,
                    f"The {part.label} is opened, but for {unit.energies[energy].name} {'; '.join(lacking)}.",
                    "If the unit has it, add it to the file; if not, the unit is not fit to be opened here.",
                    part=part.id,
                    energies=(energy,),
                )


def _fed(subject: UnitSubject, part: str, energy: str) -> Iterator[str]:
    """Origins that no isolator cuts off, or not as deep as the energy asks.

    A store of charge, force or heat that waiting, earthing or blocking empties needs none.
    """
    net = subject.network
    for uncut in isolators_of(net, [part]).uncut:
        if (uncut.part, uncut.energy) == (part, energy):
            origins = [o for o in uncut.origins if not _discharged(net, o, energy)]
            deep = "" if uncut.depth is None else " as deep as it asks"
            if origins:
                told = " and ".join(subject.unit.parts[origin].label for origin in origins)
                yield f"nothing cuts off the {told}{deep}"


def _discharged(net: Network, origin: str, energy: str) -> bool:
    """Whether an origin is a store of what is no fluid: only `discharge` empties it."""
    return net.unit.parts[origin].role is Role.STORE and not net.unit.energies[energy].fluid


def _unrelieved(subject: UnitSubject, part: str, energy: str) -> Iterator[str]:
    if (part, energy) in vents_of(subject.network, [part]).unrelieved:
        yield "no way out relieves it"


def _unseen(subject: UnitSubject, part: str, energy: str) -> Iterator[str]:
    """A part that is no holder is seen at every holder next to it; with none, nowhere."""
    net = subject.network
    place = net.place[part]
    holders = net.holders & (1 << place) or net.neighbours[energy][place] & net.holders
    if not holders or any(sees(net, net.ids[i], energy, [part]) is None for i in bits(holders)):
        yield "nothing shows its zero"


RULE = Rule("unit/blind-spot", page=__doc__, level=Level.WARNING, unit=_check)

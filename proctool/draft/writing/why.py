"""Why a draft does what it does, in sentences: which way an energy would take, what a vent lets out."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from operator import or_

from proctool.draft.writing.lacks import Lack, Want
from proctool.draft.writing.way import Sight, Way
from proctool.model.unit import Part
from proctool.model.words import Role
from proctool.network.origins import targets_of, unrelievable
from proctool.network.reach import Mask, Network, bits
from proctool.network.ways import way as route
from proctool.prove.phrases import listed


def of_isolator(network: Network, way: Way, name: str) -> tuple[str, ...]:
    """For each energy what comes to which part through an isolator: one sentence each."""
    unit, part = network.unit, network.unit.parts[name]
    if name in way.stay_off:
        return (
            f"The {part.label} is off in normal service, and what feeds the parts would come through it.",
        )
    found = []
    for energy, targets in targets_of(network, (*way.parts, *way.besides)).items():
        if not network.on_line[energy] >> network.place[name] & 1:
            continue
        path = _through(network, energy, targets, network.place[name], way.cut.off)
        if path is not None:
            start, end = (network.parts[i] for i in (path[0], path[-1]))
            what = unit.energies[energy].name
            found.append(
                f"{_capital(what)}: the {start.label} reaches the {end.label} through {_short(part)}."
            )
    return tuple(found)


def _through(
    network: Network, energy: str, targets: Mask, isolator: int, off: Mask
) -> tuple[int, ...] | None:
    """The way of an energy to a target that passes an isolator: of the fewest lines, first in the file."""
    origins = network.sources[energy] | unrelievable(network, energy)
    found = []
    for target in bits(targets):
        into = route(network, energy, origins & ~(1 << target), isolator, off, barred=1 << target)
        onward = route(
            network, energy, 1 << isolator, target, off & ~(1 << isolator), barred=origins & ~(1 << target)
        )
        if into is not None and onward is not None:
            found.append((*into, *onward[1:]))
    return min(found, key=len, default=None)


def of_vent(network: Network, way: Way, name: str) -> tuple[str, ...]:
    """What a vent lets out of which parts."""
    unit = network.unit
    found = []
    for energy in network.energies_of(name):
        if not unit.energies[energy].fluid:
            continue
        meant = reduce(or_, (_around(network, part, energy, way.cut.off) for part in way.parts))
        meant |= network.mask(way.discharges)
        reached = network.sure(energy, 1 << network.place[name], way.cut.off) & meant
        named = listed([unit.parts[n].label for n in network.names(reached)])
        if named:
            what = f"{_short(unit.parts[name])} lets the {unit.energies[energy].name} out of the {named}"
            found.append(f"{what}: nothing that may stick or block lies between.")
    if unit.parts[name].normally_open:
        found.append("It is open in normal service.")
    if name in way.cut.bleeds:
        found.append("It stands between two shut isolators: what leaks past the first comes out here.")
    return tuple(found)


def _around(network: Network, part: str, energy: str, off: Mask) -> Mask:
    """The holders that must be at zero so that a part is: itself, or all joined to one that is none."""
    at = 1 << network.place[part]
    own = network.holders & network.on_line[energy]
    return at & own if at & network.holders else network.danger(energy, at, off) & own


def of_stop(network: Network, way: Way, name: str) -> str:
    """Why a machine is stopped first."""
    part = network.unit.parts[name]
    if name in way.idle:
        return f"The {part.label} would run dry."
    energy = network.unit.energies[part.runs or ""].name
    devices = [_short(network.unit.parts[i]) for i in way.isolators if part.runs in network.energies_of(i)]
    return f"The {part.label} loses its {energy} when {listed(devices)} {_are(devices)} off."


def of_sight(network: Network, sight: Sight) -> str:
    """Why a gauge, a tester or a vent shows zero at a holder."""
    unit, by = network.unit, network.unit.parts[sight.by]
    where, energy = unit.parts[sight.part].label, unit.energies[sight.energy].name
    if by.role is Role.VENT:
        return f"No gauge sees the {energy} in the {where}; the open {_short(by)} shows it."
    if by.at == sight.part:
        return f"{_short(by)} reads the {energy} at the {where}."
    if by.at == "any":
        return f"No fixed gauge sees the {energy} in the {where}; the {by.label} does."
    at = unit.parts[by.at or ""].label
    between = f"nothing that may block lies between that and the {where}"
    return f"{_short(by)} reads the {energy} at the {at}; {between}."


def disturbed(network: Network, way: Way) -> tuple[str, ...]:
    """Who is without supply while the isolators are off, for each energy; what is opened is left out."""
    unit, own = network.unit, network.mask(way.parts)
    said = []
    for energy, sources in network.sources.items():
        fed = network.danger(energy, sources, network.normally_off)
        lost = fed & ~network.danger(energy, sources, way.cut.off) & ~own
        named = [p for p in (unit.parts[n] for n in network.names(lost)) if p.holder or p.role is Role.OUTLET]
        if named:
            said.append(f"{unit.energies[energy].name}: {', '.join(part.label for part in named)}")
    return tuple(said)


def besides(network: Network, way: Way) -> tuple[str, ...]:
    """What is cut off although it is not opened, and why."""
    said = []
    for name in way.besides:
        label = network.unit.parts[name].label
        if network.vents >> network.place[name] & 1:
            said.append(f"The {label} lets out what is hot: the heat there is cut off, and goes first.")
        else:
            said.append(
                f"The {label} is cut off too: its joint is looked at for leaks, and must be dead if it leaks."
            )
    return tuple(said)


def devices(network: Network, way: Way) -> str:
    """The isolators of a way, by name and tag."""
    return listed([network.unit.parts[name].label for name in way.isolators]) or "no isolator"


def lacking(network: Network, lack: Lack) -> str:
    """One thing that is not to be had, as a sentence."""
    unit = network.unit
    part = unit.parts[lack.part].label
    energy = unit.energies[lack.energy].name if lack.energy is not None else ""
    match lack.want:
        case Want.CUT:
            fed = listed([unit.parts[n].label for n in lack.others])
            if lack.part in lack.others:
                return (
                    f"The {part} is itself fed from outside the unit: no isolator can cut its {energy} off."
                )
            return f"No isolator stands between the {fed} and the {part} ({energy})."
        case Want.DEPTH:
            fed = listed([unit.parts[n].label for n in lack.others])
            asked = f"{_capital(energy)} asks for isolation by {lack.depth.replace('_', ' ')}"
            return f"{asked}; between the {fed} and the {part} the unit has less."
        case Want.LOCK:
            return f"The {part} would have to be off, and it cannot be locked."
        case Want.RELIEF:
            return f"No vent surely relieves the {part} of {energy}."
        case Want.SIGHT:
            return (
                f"Nothing shows that {energy} is zero at the {part}: no gauge, no tester and no vent sees it."
            )
        case Want.PRESSURE:
            off = f"in normal service no {energy} is fed to the {part}, only past isolators that stay off"
            return f"The joint of the {part} cannot be looked at for leaks: {off}."
        case Want.SEARCH:
            return "There are more sets of isolators than were looked at; one of them may do."
        case Want.NEIGHBOUR:
            return f"No part that holds {energy} stands next to the {part}, so its zero cannot be shown."


def _short(part: Part) -> str:
    return part.tag or f"the {part.name}"


def _are(things: Sequence[str]) -> str:
    return "is" if len(things) == 1 else "are"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]

"""One way of isolating parts: what is stopped, opened and read with it, and what it leaves open."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import or_

from proctool.draft.writing.depth import beyond, deep
from proctool.draft.writing.lacks import Lack, Want, dry_near, lacks_of, shown_at
from proctool.model.words import KEPT_BY_ALL, Form
from proctool.network.cuts import Cut
from proctool.network.gauges import sees_with, vents_with
from proctool.network.isolate import keeps_with, runners_with
from proctool.network.origins import by_vent, discharged_only, electricity_of, targets_of
from proctool.network.reach import Mask, Network, bits
from proctool.network.vents import vents_then


@dataclass(frozen=True, slots=True)
class Sight:
    """What shows zero of one energy at a holder."""

    part: str
    energy: str
    by: str
    """A gauge, a portable tester, or an open vent."""


@dataclass(frozen=True, slots=True)
class Way:
    """One way of bringing parts to zero."""

    parts: tuple[str, ...]
    besides: tuple[str, ...]
    """What is cut off with them: vents that would let out heat, joints beside them."""
    cut: Cut
    isolators: tuple[str, ...]
    """All that are off and locked, in file order."""
    stay_off: tuple[str, ...]
    """Those of them that are off in normal service too."""
    stops: tuple[str, ...]
    """Machines that lose the energy they run on: stopped first."""
    idle: tuple[str, ...]
    """Machines that keep it and would run dry: stopped first too."""
    vents: tuple[str, ...]
    """To be opened, in file order. Some may be open already, and are shut only while one looks for leaks."""
    discharges: tuple[str, ...]
    """Holders of what leaves by time only."""
    sights: tuple[Sight, ...]
    lacks: tuple[Lack, ...]
    """Why the parts could not be opened safely with it; empty where they can."""


def way_with(network: Network, parts: tuple[str, ...], cut: Cut, besides: tuple[str, ...] = ()) -> Way:
    """What is stopped, let out and read with one cut; what is cut off `besides` is let cool too."""
    hot = tuple(name for name in besides if network.vents >> network.place[name] & 1)
    pressing = beyond(network, parts, cut.off)
    discharges = _discharges(network, (*parts, *hot), cut.off, pressing)
    joined = _joined(network, parts, cut.off)
    pushed = (name for name in discharges if _keeps_fluid(network, name))
    wanted = tuple(dict.fromkeys((*parts, *joined, *pushed, *pressing)))
    relief = vents_then(network, wanted, cut.off, last=scalding(network))
    vents = network.mask((*relief.vents, *cut.bleeds)) | _on_joints(network, parts)
    asked = _asked(network, parts)
    sights = tuple(_sights(network, asked, cut.off, vents | network.normally_open))
    vents |= network.mask(sight.by for sight in sights) & network.vents & ~network.normally_open
    guards = _guards(network, parts, cut)
    needed = frozenset((*parts, *joined))
    opened, emptied = vents | network.normally_open, network.mask(discharges)
    return Way(
        parts=parts,
        besides=besides,
        cut=cut,
        isolators=network.names(network.mask(cut.isolators) | guards),
        stay_off=network.names(network.mask(cut.stay_off) | guards),
        stops=runners_with(network, cut.off),
        idle=_idle(network, cut.off),
        vents=network.names(vents),
        discharges=discharges,
        sights=sights,
        lacks=(
            *_still(
                network, lacks_of(network, parts, cut, joints_of(network, parts)), cut.off, opened, emptied
            ),
            *(Lack(Want.RELIEF, part, energy) for part, energy in relief.unrelieved if part in needed),
            *(Lack(Want.SIGHT, part, energy) for part, energy in _unseen(network, asked, sights)),
        ),
    )


def _still(network: Network, lacks: Iterable[Lack], off: Mask, opened: Mask, emptied: Mask) -> Iterator[Lack]:
    """What is lacking still, once it is known what is let out: then the depth may do after all."""
    for lack in lacks:
        thin = lack.want is Want.DEPTH and lack.energy is not None
        if not (thin and deep(network, lack.part, lack.energy or "", off, opened, emptied)):
            yield lack


def _joined(network: Network, parts: tuple[str, ...], off: Mask) -> tuple[str, ...]:
    """Holders that must be let out because a part that keeps its fluid is joined to them."""
    found = 0
    for part in parts:
        for energy in network.unit.parts[part].keeps & set(network.energies_of(part)):
            if network.unit.energies[energy].fluid:
                reached = network.danger(energy, 1 << network.place[part], off) & network.holders
                found |= sum(1 << i for i in bits(reached) if by_vent(network, i, energy))
    return network.names(found & ~network.mask(parts))


def _on_joints(network: Network, parts: tuple[str, ...]) -> Mask:
    """Vents open in normal service that would keep a joint from coming under pressure."""
    joints, found = joints_of(network, parts), 0
    for energy in network.energies:
        if network.unit.energies[energy].fluid:
            found |= network.danger(energy, joints & network.on_line[energy], network.normally_off)
    return found & network.normally_open


def _guards(network: Network, parts: tuple[str, ...], cut: Cut) -> Mask:
    """Isolators off in normal service behind which something charged lies that no isolator of the cut holds.

    What feeds the parts is cut by the cut itself; a vessel that is left full beyond a shut valve is not.
    """
    firm, found = network.mask(cut.isolators), 0
    for part in parts:
        at = 1 << network.place[part]
        for energy in network.energies_of(part):
            by_all = network.unit.energies[energy].form in KEPT_BY_ALL
            reached = network.danger(energy, at, cut.off)
            full = (network.holders if by_all else network.stores) & network.on_line[energy] & ~reached
            if network.danger(energy, full, firm) & at:
                found |= reached & cut.off & ~firm & ~network.mask(parts)
    return found


def _idle(network: Network, off: Mask) -> tuple[str, ...]:
    """Running machines that lose a fluid they stand in, but not the energy they run on, in file order."""
    lost, driven = 0, 0
    for energy, sources in network.sources.items():
        left = network.danger(energy, sources, off)
        if network.unit.energies[energy].fluid:
            lost |= network.danger(energy, sources, network.normally_off) & ~left
        on_it = (p.id for p in network.parts if p.runs == energy and p.normally_running)
        driven |= left & network.mask(on_it)
    return network.names(lost & driven)


def scalding(network: Network) -> Mask:
    """Vents on a line of heat whose outflow can reach a person."""
    heats = (energy.id for energy in network.unit.energies.values() if energy.form is Form.HEAT)
    hot = reduce(or_, (network.on_line[energy] for energy in heats), 0) & network.vents
    return hot & ~network.mask(part.id for part in network.parts if part.piped)


def _discharges(
    network: Network, parts: tuple[str, ...], off: Mask, pressing: tuple[str, ...]
) -> tuple[str, ...]:
    """What keeps something that only discharge lets go, joined to the parts or to what they could wet.

    What is `pressing` on their isolation is discharged too.
    """
    dry = network.mask(dry_near(network, parts))
    targets = {energy: mask & ~dry for energy, mask in targets_of(network, parts).items()}

    def joined(holder: str) -> bool:
        at = network.mask([holder])
        kept = discharged_only(network, holder)
        return any(network.danger(energy, at, off) & targets.get(energy, 0) for energy in kept)

    kept = (holder for holder in pressing if discharged_only(network, holder))
    return network.names(network.mask((*filter(joined, keeps_with(network, parts, off)), *kept)))


def _keeps_fluid(network: Network, holder: str) -> bool:
    """Whether a holder keeps a fluid that something else in it pushes, which must be let out first."""
    keeps = network.unit.parts[holder].keeps
    return any(network.unit.energies[energy].fluid for energy in keeps & set(network.energies))


def _asked(network: Network, parts: tuple[str, ...]) -> dict[tuple[str, str], bool]:
    """Where zero of which energy is shown: at what can be wetted, then for the parts. True: it must be."""
    asked: dict[tuple[str, str], bool] = {}
    for part in parts:
        wetted = set(network.unit.parts[part].near) - dry_near(network, parts)
        for near in network.names(network.mask(wetted) & network.holders):
            asked |= dict.fromkeys(((near, energy) for energy in electricity_of(network, near)), False)
    for part in parts:
        for energy in network.energies_of(part):
            at = network.names(shown_at(network, part, energy))
            asked |= dict.fromkeys(((holder, energy) for holder in at), True)
    return asked


def _sights(network: Network, asked: Iterable[tuple[str, str]], off: Mask, opened: Mask) -> Iterator[Sight]:
    """What shows zero where it is asked: a gauge, else a vent that is open, else one opened for it."""
    shown: set[tuple[str, str]] = set()
    for holder, energy in asked:
        by = sees_with(network, holder, energy, off, network.vents)
        if by is not None and network.vents >> network.place[by] & 1:
            among = (opened, network.vents)
            fit = (_vent_for_all(network, holder, energy, off, vents) for vents in among)
            by = next((vent for vent in fit if vent is not None), None)
        if by is not None and (holder, by) not in shown:
            shown.add((holder, by))
            yield Sight(holder, energy, by)


def _unseen(
    network: Network, asked: dict[tuple[str, str], bool], sights: tuple[Sight, ...]
) -> Iterator[tuple[str, str]]:
    """Where nothing shows zero that must be shown; a vent shows every fluid that stands on its line."""
    for (holder, energy), must in asked.items():
        fluid = network.unit.energies[energy].fluid
        here = (sight for sight in sights if sight.part == holder)
        shown = (
            s.energy == energy or (fluid and _is_vent(network, s.by) and energy in network.energies_of(s.by))
            for s in here
        )
        if must and not any(shown):
            yield holder, energy


def _is_vent(network: Network, name: str) -> bool:
    return bool(network.vents >> network.place[name] & 1)


def _vent_for_all(network: Network, holder: str, energy: str, off: Mask, opened: Mask) -> str | None:
    """The nearest vent that shows zero at a holder, of each fluid that both stand on: one look is of all."""
    for vent in vents_with(network, holder, energy, off, opened):
        both = (e for e in network.energies_of(vent) if e in network.energies_of(holder))
        fluids = [e for e in both if network.unit.energies[e].fluid]
        if all(vent in vents_with(network, holder, e, off, opened) for e in fluids):
            return vent
    return None


def joints_of(network: Network, parts: Sequence[str]) -> Mask:
    """Holders that owe a leak check once parts were opened: these, or what is next to one that is none."""
    found = 0
    for place in (network.place[part] for part in parts):
        for energy in network.energies:
            if network.unit.energies[energy].fluid:
                beside = network.neighbours[energy][place] & network.holders
                own = 1 << place & network.on_line[energy]
                found |= own if network.holders >> place & 1 else beside
    return found

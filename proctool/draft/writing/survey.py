"""A unit looked over: what each isolator, vent and gauge reaches, and what cannot be opened safely.

All by the functions that choose devices for a draft, so that what is told here is what a draft can use.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.draft.writing.lacks import Lack, Want, sights_of
from proctool.draft.writing.ways import ways
from proctool.draft.writing.why import lacking
from proctool.model.survey import Blind, Reach, Survey
from proctool.model.words import Role
from proctool.network.cuts import isolators_of
from proctool.network.origins import by_vent
from proctool.network.reach import Mask, Network, bits

_EDGE = frozenset({Role.SOURCE, Role.OUTLET})
"""Where a unit ends: what lies there is the site's, and is not opened."""
_FED = frozenset({Want.CUT, Want.DEPTH})


def survey(network: Network) -> Survey:
    """What the devices of a unit reach, and its blind spots.

    A part is blind for as long as it lacks something in every way of isolating it: of the least one is told
    what. The search for ways is that of `ways`, and ends where that does.
    """
    cuts = {i: isolators_of(network, [network.ids[i]]) for i in bits(network.holders)}
    off = {i: cut.off for i, cut in cuts.items()}
    return Survey(
        unit=network.unit,
        isolators=tuple(_by_isolators(network)),
        needed={
            name: tuple(network.ids[i] for i, cut in cuts.items() if name in cut.isolators)
            for name in network.names(network.isolators)
        },
        vents=tuple(_shown(network, off, network.vents)),
        gauges=tuple(_shown(network, off, network.gauges)),
        blind=_blind(network),
        by_vent_only=tuple(_by_vent_only(network, off)),
    )


def _by_isolators(network: Network) -> Iterator[Reach]:
    """Who loses an energy to each isolator alone; of one that is off in normal service, who would get it."""
    for i in bits(network.isolators):
        for energy in network.energies_of(network.ids[i]):
            sources = network.sources[energy]
            on = network.danger(energy, sources, network.normally_off & ~(1 << i))
            fed = on & ~network.danger(energy, sources, network.normally_off | 1 << i)
            yield Reach(network.ids[i], energy, network.names(fed & network.holders))


def _shown(network: Network, off: dict[int, Mask], devices: Mask) -> Iterator[Reach]:
    """What each vent lets out, or each gauge shows, for sure: each holder once its isolators are off."""
    found: dict[tuple[int, str], Mask] = {}
    for i in bits(devices):
        part = network.parts[i]
        own = (part.energy,) if part.energy else network.energies_of(part.id)
        found |= {
            (i, energy): 0 for energy in own if energy in network.on_line and _of_use(network, i, energy)
        }
    for holder, shut in off.items():
        for energy in network.energies_of(network.ids[holder]):
            seen = sights_of(network, network.ids[holder], energy, shut)
            for i in bits(seen & devices):
                if (i, energy) in found and (network.gauges >> i & 1 or by_vent(network, holder, energy)):
                    found[i, energy] |= 1 << holder
    for (i, energy), holders in found.items():
        yield Reach(network.ids[i], energy, network.names(holders))


def _of_use(network: Network, device: int, energy: str) -> bool:
    """Whether an energy can leave by a vent at all; a gauge shows any."""
    return bool(network.gauges >> device & 1) or network.unit.energies[energy].fluid


def _blind(network: Network) -> tuple[Blind, ...]:
    """Parts that lack the same stand together."""
    found: dict[tuple[str, ...], list[str]] = {}
    for part in network.parts:
        if part.role in _EDGE or part.at == "any" or not network.energies_of(part.id):
            continue
        lacks = tuple(dict.fromkeys(lacking(network, lack) for lack in _lacks(network, part.id)))
        if lacks:
            found.setdefault(lacks, []).append(part.id)
    return tuple(Blind(tuple(parts), lacks) for lacks, parts in found.items())


def _lacks(network: Network, part: str) -> tuple[Lack, ...]:
    """What a part lacks in the least way of isolating it; nothing where some way lacks nothing."""
    first: tuple[Lack, ...] | None = None
    for way in ways(network, [part]):
        if not way.lacks:
            return ()
        first = way.lacks if first is None else first
    return _own(part, first or ())


def _own(part: str, lacks: tuple[Lack, ...]) -> tuple[Lack, ...]:
    """Where the part itself stays fed by an energy, that others beside it do too says nothing new."""
    fed = {lack.energy for lack in lacks if lack.want in _FED and lack.part == part}
    return tuple(
        lack for lack in lacks if lack.part == part or lack.want not in _FED or lack.energy not in fed
    )


def _by_vent_only(network: Network, off: dict[int, Mask]) -> Iterator[tuple[str, str]]:
    for holder, shut in off.items():
        part = network.ids[holder]
        for energy in network.energies_of(part):
            seen = sights_of(network, part, energy, shut)
            if seen and not seen & network.gauges:
                yield part, energy

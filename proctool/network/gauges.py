"""What shows that parts are at zero once they are isolated."""

from __future__ import annotations

from collections.abc import Sequence

from proctool.network.isolate import isolators_of
from proctool.network.reach import Mask, Network, bits
from proctool.network.vents import vents_of

TESTER = "any"
"""Where a portable tester reads: `at: any`."""


def gauges_of(network: Network, part: str, parts: Sequence[str] | None = None) -> tuple[str, ...]:
    """The gauges that can see a part once `parts` (the part alone, if not given) are isolated, nearest first.

    A gauge sees a part that stands on a line of its energy if what it reads at is in the sure reach of the
    part, with the isolators of `parts` off and all other devices in their normal state. Distance is the
    number of lines from the part to where the gauge reads; ties in file order. Portable testers see every
    part on their energy and come last. A tester sees a part that is `covered` only with its cover off.
    Raises KeyError for names that are no parts of the unit.
    """
    off = isolators_of(network, [part] if parts is None else parts).off
    return gauges_with(network, part, off)


def gauges_with(network: Network, part: str, off: Mask) -> tuple[str, ...]:
    """The gauges that can see a part with the isolators in `off` off, in the order of `gauges_of`."""
    start = 1 << network.place[part]
    energies = network.energies_of(part)
    far = len(network.ids)
    seen: list[tuple[int, int]] = []
    for i in bits(network.gauges & ~start):
        gauge = network.parts[i]
        if gauge.energy in energies and gauge.at == TESTER:
            seen.append((far, i))
        elif gauge.energy in energies and gauge.at in network.place:
            distance = _lines_to(network, gauge.energy, start, 1 << network.place[gauge.at], off)
            if distance is not None:
                seen.append((distance, i))
    return tuple(network.ids[i] for _, i in sorted(seen))


def sees(network: Network, part: str, energy: str, parts: Sequence[str]) -> str | None:
    """By what zero of one energy is verified at a part once `parts` are isolated and their vents open.

    The first of its gauges for that energy; else, for a fluid, the nearest of the vents that are open then
    (those of `parts`, and those open in normal service) in its sure reach, ties in file order; else None.
    """
    opened = network.mask(vents_of(network, parts).vents) | network.normally_open
    return sees_with(network, part, energy, isolators_of(network, parts).off, opened)


def sees_with(network: Network, part: str, energy: str, off: Mask, opened: Mask) -> str | None:
    """What `sees` finds, with the isolators in `off` off and the vents in `opened` open."""
    for name in gauges_with(network, part, off):
        if network.unit.parts[name].energy == energy:
            return name
    if not network.unit.energies[energy].fluid or energy not in network.energies_of(part):
        return None
    return next(iter(vents_with(network, part, energy, off, opened)), None)


def vents_with(network: Network, part: str, energy: str, off: Mask, among: Mask) -> tuple[str, ...]:
    """The vents of `among` in the sure reach of a part with the isolators in `off` off, nearest first."""
    rings = network.rings(energy, 1 << network.place[part], off, sure=True)
    return tuple(network.ids[vent] for ring in rings for vent in bits(ring & among))


def _lines_to(network: Network, energy: str, start: Mask, goal: Mask, off: Mask) -> int | None:
    """How many lines away `goal` is in the sure reach of `start`; None if it is not in it."""
    rings = network.rings(energy, start, off, sure=True)
    return next((distance for distance, ring in enumerate(rings) if ring & goal), None)

"""An isolator isolates something.

Why: An isolator that stands beside the lines, at a blind end, or with an open way round it cuts nothing off.
Whoever locks it believes that it does.

Source: 29 CFR 1910.147(b): an energy isolating device prevents the transmission or release of energy.

Bad::

    unit:
      parts:
        spare: {role: isolator, device: valve, name: spare valve, tag: V9, place: at the wall, end: true}
      lines: {spare: {energy: water, path: [housing, spare]}}

Good::

    unit:
      parts:
        spare: {role: isolator, device: valve, name: spare valve, tag: V9, place: at the wall, lock: hasp}
        well: {role: source, name: well}
      lines: {spare: {energy: water, path: [well, spare, housing]}}
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import permutations

from proctool.model.finding import Level
from proctool.model.words import Role
from proctool.network.reach import Network, bits
from proctool.rules.rule import Rule, Seen, UnitSubject


def _check(subject: UnitSubject) -> Iterator[Seen]:
    for part in subject.unit.parts.values():
        if part.role is Role.ISOLATOR and not _isolates(subject.network, part.id):
            yield Seen(
                part.span,
                f"The {part.label} cuts nothing off from a source or store.",
                "See whether a line lacks it, or leads round it.",
                part=part.id,
            )


def _isolates(net: Network, name: str) -> bool:
    """Whether, on some energy, an origin lies on one side and what it could reach on another.

    Two sides that are joined past every other isolator that is off are one side: there is an open way round.
    """
    place = net.place[name]
    bit = 1 << place
    reached = net.holders | net.vents | net.mask_of_roles(Role.OUTLET)
    for energy in net.energies:
        origins = (net.sources[energy] | net.stores) & net.on_line[energy]
        for i, j in permutations(bits(net.neighbours[energy][place] & ~net.gauges), 2):
            one, other = 1 << i, 1 << j
            round_it = net.within(energy, one, net.isolators, bit) & other
            fed = net.within(energy, one, 0, bit) & origins
            if fed and not round_it and net.within(energy, other, 0, bit) & reached:
                return True
    return False


RULE = Rule("unit/idle-isolator", page=__doc__, level=Level.WARNING, unit=_check)

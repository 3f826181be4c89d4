"""A source has an isolator.

Why: What a source feeds without an isolator between can never be made safe with the means of the unit. An
outlet that may feed back counts as a source.

Source: Regulation (EU) 2023/1230 Annex III 1.6.3: a machine can be isolated from all its energy sources.

Bad::

    unit:
      parts: {well: {role: source, name: well}}
      lines: {feed: {energy: water, path: [well, housing]}}

Good::

    unit:
      parts:
        well: {role: source, name: well}
        well_valve: {role: isolator, device: valve, name: well valve, tag: V6, place: at the wall, lock: hasp}
      lines: {feed: {energy: water, path: [well, well_valve, housing]}}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.network.reach import bits
from proctool.rules.rule import Rule, Seen, UnitSubject


def _check(subject: UnitSubject) -> Iterator[Seen]:
    unit, net = subject.unit, subject.network
    for energy in net.energies:
        for place in bits(net.sources[energy]):
            fed = net.danger(energy, 1 << place, net.isolators) & net.holders
            if not fed:
                continue
            source = net.parts[place]
            rings = net.rings(energy, 1 << place, net.isolators)
            first = next(ring & fed for ring in rings if ring & fed)
            beside = " and the ".join(unit.parts[name].label for name in net.names(first))
            yield Seen(
                source.span,
                f"No isolator stands between the {source.label} and the {beside}.",
                "Put it into the line; a tap that cannot feed back says `feeds_back: false`.",
                part=source.id,
                energies=(energy,),
            )


RULE = Rule("unit/source-uncut", page=__doc__, level=Level.WARNING, unit=_check)

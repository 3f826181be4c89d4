"""Every line ends at a source, store, vent, outlet or drive, or at a part marked as its end.

Why: A line that just stops is one that nobody followed to its end. What lies behind may feed the unit, and
the proof would not know. A part that the energy itself runs is where that energy ends.

Source: 29 CFR 1910.147(d)(1): who works on the unit knows the type and magnitude of its energy and how it is
controlled.

Bad::

    unit:
      parts: {rinse: {role: component, name: rinse head, near: []}}
      lines: {branch: {energy: water, path: [housing, rinse]}}

Good::

    unit:
      parts: {rinse: {role: component, name: rinse head, near: [], end: true}}
      lines: {branch: {energy: water, path: [housing, rinse]}}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.words import Role
from proctool.rules.rule import Rule, Seen, UnitSubject

_ENDS = frozenset({Role.SOURCE, Role.STORE, Role.VENT, Role.OUTLET, Role.GAUGE})


def _check(subject: UnitSubject) -> Iterator[Seen]:
    unit, net = subject.unit, subject.network
    told: set[tuple[str, str]] = set()
    for line in unit.lines.values():
        for energy in line.energies:
            for name in dict.fromkeys((line.path[0], line.path[-1])):
                part = unit.parts[name]
                onward = net.neighbours[energy][net.place[name]] & ~net.gauges
                ended = part.role in _ENDS or part.end or part.runs == energy
                if ended or onward.bit_count() > 1 or (energy, name) in told:
                    continue
                told.add((energy, name))
                yield Seen(
                    line.span,
                    f"Line `{line.id}` of {unit.energies[energy].name} just stops at the {part.label}.",
                    "Follow it to its source, outlet, store or vent; a blind end is marked `end: true`.",
                    part=name,
                    energies=(energy,),
                )


RULE = Rule("unit/end-unsaid", page=__doc__, unit=_check)

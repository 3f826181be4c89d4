"""A gauge reads at a component or store that stands on a line of the gauge's own energy.

Why: A water gauge on a motor reads nothing. What it is said to show would be believed.

Source: Common practice, no source.

Bad::

    unit:
      parts: {second_gauge: {role: gauge, name: second gauge, at: tap, energy: water}}

Good::

    unit:
      parts: {second_gauge: {role: gauge, name: second gauge, at: pump, energy: water}}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.words import Role
from proctool.rules.rule import Rule, Seen, UnitSubject

_TESTER = "any"


def _check(subject: UnitSubject) -> Iterator[Seen]:
    unit = subject.unit
    for gauge in unit.parts.values():
        if gauge.role is not Role.GAUGE or gauge.at is None or gauge.at == _TESTER or gauge.energy is None:
            continue
        at = unit.parts[gauge.at]
        energy = unit.energies[gauge.energy].name
        if at.holder and gauge.energy in subject.network.energies_of(at.id):
            continue
        why = f"which stands on no line of {energy}" if at.holder else f"a part of role `{at.role}`"
        place = gauge.properties.key("at")
        yield Seen(
            place.span if place is not None else gauge.span,
            f"The {gauge.label} reads {energy} at the {at.label}, {why}.",
            "Let it read at the component or store it is screwed to, or mend the lines.",
            part=gauge.id,
            energies=(gauge.energy,),
        )


RULE = Rule("unit/gauge-misplaced", page=__doc__, unit=_check)

"""A part that can wet things says what electricity is near it.

Why: Water that runs out of an opened housing runs over the pump below it. The proof can ask for that pump to
be dead only if the file says that it is there; `near: []` says that somebody looked and found none.

Source: Common practice, no source.

Bad::

    unit:
      parts: {bowl: {role: component, name: sight glass, seal: flat gasket}}
      lines: {main: {path: [supply, inlet_valve, pump, housing, bowl, tap]}}

Good::

    unit:
      parts: {bowl: {role: component, name: sight glass, seal: flat gasket, near: []}}
      lines: {main: {path: [supply, inlet_valve, pump, housing, bowl, tap]}}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.words import WETTING
from proctool.rules.rule import Rule, Seen, UnitSubject


def _check(subject: UnitSubject) -> Iterator[Seen]:
    unit = subject.unit
    for part in unit.parts.values():
        wet = any(unit.energies[e].form in WETTING for e in subject.network.energies_of(part.id))
        comes_off = part.id in subject.opened or part.seal is not None
        if part.holder and wet and comes_off and "near" not in part.properties:
            yield Seen(
                part.span,
                f"Nothing says what electricity the {part.label} could wet when it is opened.",
                "List the parts: `near: [pump]`; or say that there are none: `near: []`.",
                part=part.id,
            )


RULE = Rule("unit/near-unsaid", page=__doc__, level=Level.WARNING, unit=_check)

"""A form of energy or a thing that the proof has no meaning for is listed.

Why: The proof covers the energies and lines of the unit file, in the ways in which their forms are kept and
leave. What is in the file without such a meaning looks covered and is not: somebody must think of it.

Source: Common practice, no source; stored energy of every kind is named by 29 CFR 1910.147(d)(5)(i).

Bad::

    unit:
      parts: {frame: {role: component, name: hinged lid}}

Good::

    unit:
      parts: {frame: {role: component, name: rinse basin, near: []}}
      lines: {basin: {energy: water, path: [housing, frame, drain]}}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.words import FLUIDS, Form, Role
from proctool.rules.rule import Rule, Seen, UnitSubject

_KEPT_BY_STORES = {
    Form.MOTION: "that what coasts comes to rest",
    Form.GRAVITY: "that a raised load stays up or comes down",
    Form.SPRING: "that a spring lets go",
}
"""Forms that only stores keep, and what nobody looks at where there is none."""


def _check(subject: UnitSubject) -> Iterator[Seen]:
    yield from _off_the_lines(subject)
    yield from _unkept(subject)
    yield from _held_up(subject)


def _off_the_lines(subject: UnitSubject) -> Iterator[Seen]:
    unit, net = subject.unit, subject.network
    for part in unit.parts.values():
        if not net.energies_of(part.id):
            yield Seen(
                part.span,
                f"The {part.label} stands on no line: the proof knows of no energy in it.",
                "Put it on its lines, or see to it by other means.",
                part=part.id,
            )
    for energy in unit.energies.values():
        if not net.on_line[energy.id]:
            yield Seen(
                energy.span,
                f"Energy {energy.name} runs along no line: the proof does not see it anywhere.",
                "Say along which parts it runs, or see to it by other means.",
                energies=(energy.id,),
            )


def _unkept(subject: UnitSubject) -> Iterator[Seen]:
    """Motion, weight and springs on lines without a store: taken as gone as soon as nothing feeds them."""
    net = subject.network
    for energy in subject.unit.energies.values():
        unseen = _KEPT_BY_STORES.get(energy.form)
        if unseen and net.on_line[energy.id] and not net.on_line[energy.id] & net.stores:
            yield Seen(
                energy.span,
                f"No store keeps {energy.name}: the proof does not ask {unseen}.",
                "Give what keeps it `role: store`, or see to it by other means.",
                energies=(energy.id,),
            )


def _held_up(subject: UnitSubject) -> Iterator[Seen]:
    """A load that hangs on a fluid drops when the fluid is let out."""
    unit = subject.unit
    for part in unit.parts.values():
        forms = {unit.energies[e].form for e in subject.network.energies_of(part.id)}
        if Form.GRAVITY in forms and forms & FLUIDS and part.role is not Role.GAUGE:
            yield Seen(
                part.span,
                f"The proof does not see the load on the {part.label} drop when its pressure is let out.",
                "Block or lower the load before anything is vented.",
                part=part.id,
            )


RULE = Rule("unit/not-covered", page=__doc__, level=Level.ADVICE, unit=_check)

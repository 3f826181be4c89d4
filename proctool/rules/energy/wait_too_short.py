"""A discharge by waiting says how long, at least what the part needs, and which reading ends the wait.

Why: What leaves only with time is still there when it is thought to be gone. Too short a wait burns or
shocks; and a time alone proves nothing, because a failed bleeder or a hot day takes longer than the file
says.

Source: Common practice, no source. 29 CFR 1910.147(d)(5)(i) asks that stored energy be relieved and (d)(6)
that this be verified; neither says how long. The least wait is said in the unit file (`leaves_in`).

Bad::

    unit:
      parts:
        pump: {role: store, name: pump drive, leaves_in: {mains: 5 min}}
    steps:
      - stop: pump
      - isolate: plug
        lock: plug
      - wait: 1 min
        discharge: pump

Good::

    unit:
      parts:
        pump: {role: store, name: pump drive, leaves_in: {mains: 5 min}}
    steps:
      - stop: pump
      - isolate: plug
        lock: plug
      - wait: 5 min
        until: {gauge: tester, reads: 0 V}
        discharge: pump
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from proctool.model.document import Mapping, Scalar
from proctool.model.plan import Step, StepKind, every_step
from proctool.model.quantity import Quantity, compare, parse
from proctool.model.unit import Part
from proctool.network.reach import Network
from proctool.rules.rule import PlanSubject, Rule, Seen

_READ = "End the wait by one: `until: {gauge: …, reads: …}`, with a gauge that reads it there."


class _Wait(NamedTuple):
    """What a step discharges that leaves only with time: where, which energy, the least wait as written."""

    part: Part
    energy: str
    least: str


def check(subject: PlanSubject) -> Iterable[Seen]:
    """Every step that discharges a part whose energy leaves by waiting, too soon or by the clock alone."""
    names = {energy.id: energy.name for energy in subject.plan.unit.energies.values()}
    for step in every_step(subject.plan.frame):
        waits = tuple(_waits(subject.network, step))
        # A wait ends by one reading: of a part with two such energies one must do.
        shown = {wait.part.id for wait in waits if _shown(subject.network, step, wait)}
        for wait in waits:
            energy = names[wait.energy]
            if said := _too_short(step, wait, energy):
                yield _seen(step, wait, said, f"Make it a `wait` of {wait.least} or longer.")
            if wait.part.id not in shown:
                message = f"No reading shows that {energy} has left the {wait.part.label}."
                yield _seen(step, wait, message, _READ)


def _waits(network: Network, step: Step) -> Iterator[_Wait]:
    """The least waits of the parts a step discharges: those named, and those that no isolator divides off."""
    for act in step.acts:
        for energy in network.energies_of(act.part) if act.verb == "discharge" else ():
            joined = network.danger(energy, network.mask([act.part]), network.isolators)
            for name in network.names(joined):
                part = network.unit.parts[name]
                waits = part.properties.get("leaves_in")
                least = waits.get(energy) if isinstance(waits, Mapping) else None
                if isinstance(least, Scalar):
                    yield _Wait(part, energy, least.text)


def _too_short(step: Step, wait: _Wait, energy: str) -> str | None:
    """What is wrong with the time of a step, or None where it is long enough."""
    needs = f"{energy} takes at least {wait.least} to leave the {wait.part.label}"
    if step.lasts is None:
        return f"This step says no time, but {needs}."
    found, least = parse(step.lasts), parse(wait.least)
    order = compare(found, least) if isinstance(found, Quantity) and isinstance(least, Quantity) else None
    if order is None:
        return f"Found `{step.lasts}`, which cannot be held against `{wait.least}`: {needs}."
    return f"Found `{step.lasts}`, but {needs}." if order < 0 else None


def _shown(network: Network, step: Step, wait: _Wait) -> bool:
    """Whether the reading that ends a wait is one of this energy at this part."""
    gauge = network.unit.parts.get(step.gauge or "")
    if step.kind is not StepKind.WAIT or gauge is None or gauge.energy != wait.energy:
        return False
    seen = network.sure(wait.energy, network.mask([wait.part.id]), network.isolators)
    return gauge.at == "any" or gauge.at in network.names(seen)


def _seen(step: Step, wait: _Wait, message: str, help_text: str) -> Seen:
    message = message[:1].upper() + message[1:]
    return Seen(step.span, message, help_text, step.id, wait.part.id, (wait.energy,))


RULE = Rule("energy/wait-too-short", page=__doc__, plan=check)

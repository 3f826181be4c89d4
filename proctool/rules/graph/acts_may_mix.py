"""A step that moves several devices of one energy is not free beside another step on that energy.

Why: The proof takes the acts of a step as done at one stroke. Two people who share the work are not like
that: the second may act between the first one's acts. Order the steps, or write each act as its own step.

Source: Common practice, no source.

Bad::

    unit:
      parts: {bypass: {role: isolator, device: valve, name: bypass valve, tag: V3, place: under the housing}}
      lines: {bypass: {energy: water, path: [supply, bypass, housing]}}
    steps:
      - any_order:
          - do: Close the <inlet_valve>, then open the <drain>.
            isolate: inlet_valve
            vent: drain
          - isolate: bypass

Good::

    unit:
      parts: {bypass: {role: isolator, device: valve, name: bypass valve, tag: V3, place: under the housing}}
      lines: {bypass: {energy: water, path: [supply, bypass, housing]}}
    steps:
      - any_order:
          - isolate: inlet_valve
          - isolate: bypass
      - vent: drain
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Related
from proctool.model.plan import BackTo, Frame, Step
from proctool.network.reach import Network
from proctool.rules.rule import PlanSubject, Rule, Seen

_MOVE = frozenset({"isolate", "throttle", "connect", "restore", "vent", "shut"})
"""Acts that change where an energy can go. Parts that come off as one piece are opened in one step."""


def _check(subject: PlanSubject) -> Iterator[Seen]:
    for frame in _frames(subject.plan.frame):
        moved = [_moved(subject.network, step) for step in frame.steps]
        for place, step in enumerate(frame.steps):
            several = {energy for energy in moved[place] if moved[place].count(energy) > 1}
            if not several:
                continue
            beside = next(
                (
                    i
                    for i, energies in enumerate(moved)
                    if i != place and several & set(energies) and not _ordered(frame, place, i)
                ),
                None,
            )
            if beside is None:
                continue
            shared = tuple(e for e in subject.network.energies if e in several and e in moved[beside])
            other = frame.steps[beside].id
            names = " and ".join(subject.plan.unit.energies[e].name for e in shared)
            yield Seen(
                step.span,
                f"This step moves several devices of {names}; `{other}` may come in between.",
                "Put the two in order, or give each act a step of its own.",
                step=step.id,
                energies=shared,
                related=(Related(frame.steps[beside].span, "the step beside it"),),
            )


def _frames(frame: Frame) -> Iterator[Frame]:
    yield frame
    for step in frame.steps:
        otherwise = step.otherwise
        while otherwise is not None:
            yield from _frames(otherwise.frame)
            otherwise = otherwise.ending.then if isinstance(otherwise.ending, BackTo) else None


def _moved(network: Network, step: Step) -> list[str]:
    """The energies that a step's acts move, one entry for each act on each."""
    return [e for act in step.acts if act.verb in _MOVE for e in network.energies_of(act.part)]


def _ordered(frame: Frame, one: int, other: int) -> bool:
    return bool(frame.before[one] >> other & 1 or frame.before[other] >> one & 1)


RULE = Rule("graph/acts-may-mix", page=__doc__, plan=_check)

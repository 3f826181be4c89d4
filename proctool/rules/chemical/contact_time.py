"""A dose says how long it must stand before it is flushed out.

Why: A disinfectant works by concentration and time together. Flushed out at once it has done nothing, and
the record says that the unit was disinfected.

Source: AWWA C652, read in a worksheet of the State of Oregon: 10 mg/L for 24 h, 50 mg/L for 6 h, 200 mg/L
sprayed for 3 h. Which time is right for which chemical is the writer's to say.

Bad::

    unit:
      energies:
        chlorine: {form: chemical, brought: true, normal: 50 mg/L, safe: 0.5 mg/L}
      lines:
        dosed: {energy: chlorine, path: [housing, tap]}
    steps:
      - do: Pump the disinfectant into the <housing>.
        dose: {part: housing, energy: chlorine}
      - do: Let water run through the <housing> for 10 min.
        flush: housing

Good::

    unit:
      energies:
        chlorine: {form: chemical, brought: true, normal: 50 mg/L, safe: 0.5 mg/L}
      lines:
        dosed: {energy: chlorine, path: [housing, tap]}
    steps:
      - do: Pump the disinfectant into the <housing>.
        dose: {part: housing, energy: chlorine}
      - wait: 6 h
      - do: Let water run through the <housing> for 10 min.
        flush: housing
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.plan import Frame, Step, StepKind
from proctool.network.reach import Network, bits
from proctool.rules.chemical.owed import Debts, brought_in, flushed, frames
from proctool.rules.rule import PlanSubject, Rule, Seen


def _check(subject: PlanSubject) -> Iterator[Seen]:
    unit, frame, network = subject.plan.unit, subject.plan.frame, subject.network
    brought = brought_in(unit)
    never = Debts(lambda step: _dosed(step, brought), lambda step, _: _stands(step)).unpaid(frame)
    too_soon = (found for each in frames(frame) for found in _too_soon(each, network, brought))
    for step, energy in dict.fromkeys((*never, *too_soon)):
        yield Seen(
            step.span,
            f"Nothing says how long {unit.energies[energy].name} must stand after it is put in here.",
            "Put a `wait: …` between this step and the flushing.",
            step.id,
            energies=(energy,),
        )


def _too_soon(frame: Frame, network: Network, brought: frozenset[str]) -> Iterator[tuple[Step, str]]:
    """Each dose that a later step of its frame flushes out with no wait between the two in every order."""
    for step, before in zip(frame.steps, frame.before, strict=True):
        rinsed = flushed(step, network)
        if not rinsed:
            continue
        stood = [i for i in bits(before) if _stands(frame.steps[i])]
        for place in bits(before):
            dose = frame.steps[place]
            waited = any(frame.before[wait] >> place & 1 for wait in stood)
            yield from ((dose, e) for e in _dosed(dose, brought) if e in rinsed and not waited)


def _dosed(step: Step, brought: frozenset[str]) -> tuple[str, ...]:
    """The chemicals that a step puts in and does not itself let stand."""
    named = (act.energy for act in step.acts if act.verb == "dose" and not _stands(step))
    return tuple(energy for energy in named if energy in brought)


def _stands(step: Step) -> bool:
    return step.kind is StepKind.WAIT and bool(step.lasts)


RULE = Rule("chemical/contact-time", page=__doc__, level=Level.WARNING, plan=_check)

"""After a chemical that was brought in is flushed out, a reading with limits shows that it is gone.

Why: Ten minutes of flushing is a guess: a dead leg, a tank or a slow tap keeps what was dosed. Only a reading
says that the water can be drunk again, and a limit above what counts as zero says nothing.

Source: Common practice, no source: chlorinate, hold, flush, test the residue, return to service. That
acceptance criteria stand at the step, with the unit of the instrument: DOE-STD-1029, from memory.

Bad::

    unit:
      energies:
        chlorine: {form: chemical, brought: true, normal: 50 mg/L, safe: 0.5 mg/L}
      lines:
        dosed: {energy: chlorine, path: [housing, tap]}
    steps:
      - do: Pump the disinfectant into the <housing>.
        dose: {part: housing, energy: chlorine}
      - wait: 30 min
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
      - wait: 30 min
      - do: Let water run through the <housing> for 10 min.
        flush: housing
      - read: {what: Chlorine in the water by the test strip, within: 0 to 0.5 mg/L}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.plan import Step, StepKind
from proctool.model.quantity import Quantity, Range, compare, dimension, parse, parse_range
from proctool.model.unit import Energy, Unit
from proctool.rules.chemical.owed import Debts, flushed
from proctool.rules.rule import PlanSubject, Rule, Seen


def _check(subject: PlanSubject) -> Iterator[Seen]:
    unit, network = subject.plan.unit, subject.network
    debts = Debts(lambda step: flushed(step, network), lambda step, energy: _tests(unit, step, energy))
    for step, energy in debts.unpaid(subject.plan.frame):
        chemical = unit.energies[energy]
        most = f"at most {chemical.safe}" if chemical.safe else "and `safe` in the unit file"
        yield Seen(
            step.span,
            f"No reading after this flushing shows that {chemical.name} is gone.",
            f"Put a `read: {{what: …, within: …}}` after it, with limits: {most}.",
            step.id,
            energies=(energy,),
        )


def _tests(unit: Unit, step: Step, energy: str) -> bool:
    """Whether a step reads that a chemical is at or below what counts as zero."""
    if any(act.verb == "verify_zero" and act.energy == energy for act in step.acts):
        return True
    gauge = unit.parts.get(step.gauge or "")
    limits = parse_range(step.limits or "")
    if step.kind is not StepKind.READ or isinstance(limits, str) or limits.high is None:
        return False
    if gauge is not None and gauge.energy != energy:
        return False
    return _low_enough(unit.energies[energy], limits, limits.high)


def _low_enough(energy: Energy, limits: Range, high: Quantity) -> bool:
    """Whether limits are of the kind of a chemical's size, and let nothing through above its zero."""
    safe, normal = parse(energy.safe), parse(energy.normal)
    if isinstance(safe, Quantity):
        order = compare(high, safe)
        return order is not None and order <= 0
    return isinstance(normal, Quantity) and dimension(normal.measure) == dimension(limits.measure)


RULE = Rule("chemical/residue-untested", page=__doc__, plan=_check)

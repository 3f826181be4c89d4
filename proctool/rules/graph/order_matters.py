"""Orders that the procedure leaves free end in the same state of the unit.

Why: Steps are left free because their order does not matter. If the unit ends differently, it does: then the
order that was meant must be written. Only runs in which every check passes are compared.

Source: Common practice, no source.

Bad::

    steps:
      - any_order:
          - throttle: inlet_valve
          - restore: inlet_valve

Good::

    steps:
      - throttle: inlet_valve
      - restore: inlet_valve
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level, Related
from proctool.model.plan import Plan
from proctool.rules.rule import PlanSubject, Rule, Seen


def _check(subject: PlanSubject) -> Iterator[Seen]:
    fork, frame = subject.proof.fork, subject.plan.frame
    if fork is None:
        return
    places = {step.id: place for place, step in enumerate(frame.steps)}
    first, second = sorted(fork.swapped, key=places.__getitem__)
    both = 1 << places[first] | 1 << places[second]
    around = [group for group in frame.free if group.steps & both == both]
    innermost = min(around, key=lambda group: group.steps.bit_count(), default=None)
    differ = ", ".join(_name(subject.plan, name) for name in fork.differ)
    yield Seen(
        innermost.span if innermost else frame.steps[places[second]].span,
        f"`{first}` and `{second}` may come in either order, and the job ends differently: {differ}.",
        "Put the two in order.",
        step=second,
        related=(
            Related(frame.steps[places[first]].span, "the one step"),
            Related(frame.steps[places[second]].span, "the other"),
        ),
    )


def _name(plan: Plan, name: str) -> str:
    part = plan.unit.parts.get(name)
    return part.label if part is not None else name.replace("_", " ")


RULE = Rule("graph/order-matters", page=__doc__, level=Level.WARNING, plan=_check)

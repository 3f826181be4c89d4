"""A step that opens a part shows all that it needs of that part.

Why: Before a part is opened the manual says what must hold: zero, and verified. Where a step has no `needs`
of its own this is derived and shown. Where it has some, they stand instead, and must not say less.

Source: 29 CFR 1910.147(d)(6): isolation and de-energization are verified before work starts.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        needs: {housing: relieved}
        open: housing

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        needs: {housing: [relieved, proven]}
        open: housing
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.plan import every_step
from proctool.rules.rule import PlanSubject, Rule, Seen


def _check(subject: PlanSubject) -> Iterator[Seen]:
    for step in every_step(subject.plan.frame):
        for part in dict.fromkeys(act.part for act in step.acts if act.verb == "open"):
            said = [need for need in step.needs if need.name == part]
            if said and all(need.word != "proven" for need in said):
                words = ", ".join(need.word for need in said)
                label = subject.plan.unit.parts[part].label
                yield Seen(
                    said[0].span,
                    f"Before the {label} is opened, `needs` asks only: {words}.",
                    f"Write `{part}: proven`, or take its needs away: then they are derived and shown.",
                    step=step.id,
                    part=part,
                )


RULE = Rule("graph/need-unsaid", page=__doc__, level=Level.ADVICE, plan=_check)

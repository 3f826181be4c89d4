"""What is tightened has a value, and the step that tightens it shows that value.

Why: Too loose flies off, too tight cracks. `Tighten the housing` is done by feel, and everybody's differs.
The value is a torque with its tolerance or an end one can see; and the proof asks for tightening only where
the unit file has it.

Source: Common practice, no source. It is an error because what was not tightened as it should be lets go
under pressure.

Bad::

    steps:
      - use: make-safe
      - do: Screw the <housing> down hard.
        tighten: housing

Good::

    steps:
      - use: make-safe
      - do: Tighten the <housing> to <housing.tighten>.
        tighten: housing
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from proctool.model.plan import Plan, Step, every_step
from proctool.model.quantity import show_text
from proctool.model.unit import Part
from proctool.rules.rule import Rule, Seen, UseSubject

_MARKUP = re.compile(r"\\(.)")


def _check(subject: UseSubject) -> Iterator[Seen]:
    plan = subject.plan
    for step in every_step(plan.frame):
        for act in step.acts:
            part = plan.unit.parts.get(act.part)
            if act.verb != "tighten" or part is None:
                continue
            if not part.tighten:
                yield Seen(
                    step.span,
                    f"The {part.label} is tightened, and unit {plan.unit.id} does not say to what value.",
                    f"Write `tighten: …` for `{part.id}` in {part.span.file}: a torque or a visible end.",
                    step.id,
                    part.id,
                )
            elif not _shows(plan, step, part, part.tighten):
                yield Seen(
                    step.span,
                    f"This step tightens the {part.label} and does not show its value, {part.tighten}.",
                    f"Write `<{part.id}.tighten>` into the text, or `<part.tighten>` into the sentence.",
                    step.id,
                    part.id,
                )


def _shows(plan: Plan, step: Step, part: Part, value: str) -> bool:
    """Whether a reader of the step sees the value, in the measures of the library or as it is written."""
    text = _MARKUP.sub(r"\1", step.text)
    shows = plan.facts.shows if plan.facts is not None else {}
    return show_text(value, shows) in text or value in text


RULE = Rule("content/tighten-no-value", page=__doc__, use=_check)

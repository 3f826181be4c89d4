"""What follows when a check fails differs from what follows when it passes.

Why: A check whose `otherwise` has no steps and goes on asks the technician to look, and then to do the same
whatever is seen. Either the mend was forgotten, or the check is a note.

Source: IEC/IEEE 82079-1 asks what to do about faults and leaks that can be foreseen (read in summaries, not
in the standard). For any other check common practice, no source.

Bad::

    steps:
      - check: The <pump> is dry underneath.
        otherwise: {continue: true}

Good::

    steps:
      - check: The <pump> is dry underneath.
        otherwise:
          steps:
            - do: Write the drip of the <pump> into the logbook.
          continue: true
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.plan import Continue, StepKind, every_step
from proctool.rules.rule import PlanSubject, Rule, Seen


def _check(subject: PlanSubject) -> Iterator[Seen]:
    """Checks that nothing hangs on: no step when they fail, and no act or condition that passing settles."""
    for step in every_step(subject.plan.frame):
        otherwise = step.otherwise
        if step.kind is not StepKind.CHECK or otherwise is None or step.acts or step.makes:
            continue
        if isinstance(otherwise.ending, Continue) and not otherwise.frame.steps:
            yield Seen(
                step.span,
                "Work goes on the same way whether this check passes or fails.",
                "Say in `otherwise` what is done when it fails; if nothing is, make it a `note`.",
                step.id,
            )


RULE = Rule("graph/idle-check", page=__doc__, level=Level.WARNING, plan=_check)

"""A leak check says for how long one looks.

Why: A joint that weeps shows its first drop after a minute or two. Without a time one person glances at it
and the next one waits.

Source: Common practice. Plumbing codes set a time for their tests of new pipes (New York City 312.5: 15
min).

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - inspect_seal: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - unlock: inlet_valve
      - throttle: inlet_valve
      - bleed: housing
      - shut: drain
      - restore: inlet_valve
      - check: No water comes out at the <housing>.
        leak_check: housing
        otherwise:
          steps:
            - use: make-safe
          end_here: Leave the locks on and call for help.

Good::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - inspect_seal: housing
      - do: Screw the <housing> on.
        close: housing
      - tighten: housing
      - unlock: inlet_valve
      - throttle: inlet_valve
      - bleed: housing
      - shut: drain
      - restore: inlet_valve
      - check: No water comes out at the <housing>.
        leak_check: housing
        for: 2 min
        otherwise:
          steps:
            - use: make-safe
          end_here: Leave the locks on and call for help.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.plan import StepKind
from proctool.rules.leak.checks import leak_checks
from proctool.rules.rule import PlanSubject, Rule, Seen


def check(subject: PlanSubject) -> Iterator[Seen]:
    """Leak checks without a time; one that is no `check` can take none, and leak/no-way-back tells it."""
    for step, part in leak_checks(subject.plan):
        if step.kind is StepKind.CHECK and step.lasts is None:
            message = f"Nothing says for how long one looks at the {part.label}."
            yield Seen(step.span, message, "Add a time, such as `for: 2 min`.", step.id, part.id)


RULE = Rule("leak/no-duration", page=__doc__, level=Level.WARNING, plan=check)

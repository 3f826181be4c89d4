"""A leak check is a `check` that says what to do when something leaks.

Why: Whoever finds the leak has pressure in the part and wet hands. What is done then is written down before
it is needed: make safe, mend it, look again, or stop and call.

Source: Common practice. IEC/IEEE 82079-1 asks what to do about leaks that can be foreseen (read in a
summary, not in the standard).

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
        for: 2 min

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

from proctool.model.plan import StepKind
from proctool.rules.leak.checks import leak_checks, says_what_then
from proctool.rules.rule import PlanSubject, Rule, Seen


def check(subject: PlanSubject) -> Iterator[Seen]:
    """Leak checks that are no `check`, or for which nothing says what happens when they fail."""
    for step, part in leak_checks(subject.plan):
        if step.kind is not StepKind.CHECK:
            message = f"The {part.label} is leak-checked by a `{step.kind}` step; expected a `check`."
            help_ = "Write `check:` and what must be seen, and say in `otherwise` what to do when it leaks."
        elif not says_what_then(step):
            message = f"Nothing says what to do when the {part.label} leaks; expected an `otherwise`."
            help_ = "Add `otherwise` here or to the group around it: make safe, then go back or stop."
        else:
            continue
        yield Seen(step.span, message, help_, step.id, part.id)


RULE = Rule("leak/no-way-back", page=__doc__, plan=check)

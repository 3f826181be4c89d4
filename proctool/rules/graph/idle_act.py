"""An act changes something in some run.

Why: An act that never changes anything is left over from another unit, or stands in the wrong place: a valve
that is unlocked but was never locked. Acts that confirm, such as isolating what is off already, are fine, and
an act of a block that is used twice is judged over all its uses.

Source: Common practice, no source.

Bad::

    steps:
      - shut: drain
      - do: Wipe the <drain>.

Good::

    steps:
      - use: make-safe
      - shut: drain
      - do: Wipe the <drain>.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.plan import every_step
from proctool.model.span import Span
from proctool.model.words import FREE_TEXT_ACTS, THING_ACTS
from proctool.rules.rule import PlanSubject, Rule, Seen

_CONFIRMING = frozenset(
    {"isolate", "lock", "stop", "verify_zero", "leak_check", "bleed", "inspect_seal", "try_start"}
    | {"prove_tester", "tighten", "adjust"}
    | THING_ACTS
    | FREE_TEXT_ACTS
)
"""Acts that are worth doing where they change nothing."""


def _check(subject: PlanSubject) -> Iterator[Seen]:
    if not subject.proof.explored:
        return
    told: set[Span] = set()
    for step in every_step(subject.plan.frame):
        for act in step.acts:
            if act.verb in _CONFIRMING or act.span in subject.proof.moved or act.span in told:
                continue
            told.add(act.span)
            part = subject.plan.unit.parts[act.part].label
            yield Seen(
                act.span,
                f"`{act.verb}` never changes anything: the {part} is always so already.",
                "Take the act away, or see whether it stands in the right place.",
                step=step.id,
                part=act.part,
            )


RULE = Rule("graph/idle-act", page=__doc__, level=Level.ADVICE, plan=_check)

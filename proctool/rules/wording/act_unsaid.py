"""A part that an act moves is named in the text of its step.

Why: The proof reads the act, the technician reads the text. `Close the valve` with the act on V1 is proven
for V1 and done at V6. A part is named by `<name>`, or in plain words by its name or its tag.

Source: Common practice, no source; that an object is called by what stands on its label is from memory of
DOE-STD-1029.

Bad::

    steps:
      - do: Close the valve at the wall.
        isolate: inlet_valve

Good::

    steps:
      - do: Close the <inlet_valve> at the wall.
        isolate: inlet_valve
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.plan import every_step
from proctool.rules.rule import PlanSubject, Rule, Seen
from proctool.rules.tokens import PartNames, filled_tokens

MOVING_ACTS = frozenset(
    {
        "isolate",
        "throttle",
        "connect",
        "restore",
        "lock",
        "unlock",
        "vent",
        "shut",
        "open",
        "uncover",
        "cover",
    }
    | {"close", "stop", "start", "try_start", "tighten", "loosen", "adjust"}
)
"""Acts by which a part is moved."""


def check(subject: PlanSubject) -> Iterator[Seen]:
    """Each part that a step moves and its text does not name."""
    unit = subject.plan.unit
    for step in every_step(subject.plan.frame):
        moved = {act.part: act.verb for act in reversed(step.acts) if act.verb in MOVING_ACTS and act.part}
        if not moved:
            continue
        said = {token.part for token in filled_tokens(step.text, step.filled, PartNames.of(unit, moved))}
        for part in sorted(moved.keys() - said):
            yield Seen(
                step.span,
                f"The text does not name the {unit.parts[part].label}, which `{moved[part]}` moves.",
                f"Name it: write `<{part}>`, or the name that the `each` around gives it.",
                step=step.id,
                part=part,
            )


RULE = Rule("wording/act-unsaid", page=__doc__, plan=check)

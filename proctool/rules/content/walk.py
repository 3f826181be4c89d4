"""The steps of the plans of a procedure, and the library's things that they use."""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.plan import BackTo, Frame, Plan, Step
from proctool.network.reach import bits


def english(plan: Plan) -> bool:
    """Whether the texts of a plan are English: word lists of other languages are not there."""
    return plan.facts is None or plan.facts.language.startswith("en")


def with_things_before(
    frame: Frame, before: frozenset[str] = frozenset()
) -> Iterator[tuple[Step, frozenset[str]]]:
    """Every step, with the library's things that it or some step before it in every order uses."""
    for place, step in enumerate(frame.steps):
        earlier = (thing for i in bits(frame.before[place]) for thing in frame.steps[i].things)
        had = before.union(step.things, earlier)
        yield step, had
        otherwise = step.otherwise
        while otherwise is not None:
            yield from with_things_before(otherwise.frame, had)
            ending = otherwise.ending
            otherwise = ending.then if isinstance(ending, BackTo) else None


def plain_text(step: Step) -> str:
    """What a step's text says by itself, each stretch that was filled in replaced by a stroke."""
    text = step.text
    for stretch in reversed(step.filled):
        text = f"{text[: stretch.start]}/{text[stretch.end :]}"
    return text

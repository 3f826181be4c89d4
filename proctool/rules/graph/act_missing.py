"""A text that opens, shuts, loosens, drains, switches, starts or stops a named part has the act for it.

Why: The proof reads acts, not words. A housing that is unscrewed in the text alone stays shut for the proof,
and all it would have said about an open housing is never said.

Source: Common practice, no source.

Bad::

    steps:
      - do: Unscrew the <housing> with the <wrench>.

Good::

    steps:
      - do: Unscrew the <housing> with the <wrench>.
        open: housing
      - do: Wait until no water drips from the <housing>.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.plan import BackTo, EndHere, Step, every_step
from proctool.model.span import Span
from proctool.model.unit import Part, Unit
from proctool.model.words import VERBS, Role
from proctool.rules.graph.commands import Command, commands
from proctool.rules.rule import PlanSubject, Rule, Seen


def _check(subject: PlanSubject) -> Iterator[Seen]:
    facts, unit = subject.plan.facts, subject.plan.unit
    if facts is not None and not facts.language.startswith("en"):
        return
    told: dict[tuple[Span, str, str], Seen] = {}
    for step in every_step(subject.plan.frame):
        for command in commands(step.text, step.filled, unit, (act.part for act in step.acts)):
            yield from _unsaid(step, command, unit)
        for span, text in _stops(step):
            for command in commands(text, (), unit):
                for part in command.parts:
                    if _fitting(command, unit, part):
                        told.setdefault((span, command.verb, part), _at_stop(span, step, command, unit, part))
    yield from told.values()


def _unsaid(step: Step, command: Command, unit: Unit) -> Iterator[Seen]:
    """The parts of a command for which the step has no act."""
    acts = command.moving.acts
    if command.moving.anywhere and any(act.verb in acts for act in step.acts):
        return
    for part in dict.fromkeys(command.parts):
        fitting = _fitting(command, unit, part)
        if fitting and not any(act.verb in acts and act.part == part for act in step.acts):
            likely = [verb for verb in fitting if _likely(verb, unit.parts[part])] or ["dismantle"]
            said = " or ".join(f"`{verb}: {part}`" for verb in likely)
            yield Seen(
                step.span,
                f"The text says to {command.verb} the {unit.parts[part].label}; no act says so.",
                f"Add the act that is meant: {said}. If nothing is moved, say it in other words.",
                step=step.id,
                part=part,
            )


def _fitting(command: Command, unit: Unit, part: str) -> tuple[str, ...]:
    """Acts that say what the verb says and fit the part; without any the part cannot be so moved."""
    role, acts = unit.parts[part].role, command.moving.acts
    return tuple(name for name, verb in VERBS.items() if name in acts and role in verb.roles)


def _likely(verb: str, part: Part) -> bool:
    """Whether an act is worth offering: it could be written so, and is not the odd case."""
    match verb:
        case "open" | "close":
            return part.role not in {Role.ISOLATOR, Role.VENT}
        case "cover" | "uncover":
            return part.covered
        case "throttle":
            return part.throttles
    return verb != "remove"


def _stops(step: Step) -> Iterator[tuple[Span, str]]:
    """What a step says where the job stops, and where that is written."""
    otherwise = step.otherwise
    while otherwise is not None:
        ending = otherwise.ending
        if isinstance(ending, EndHere) and ending.span is not None:
            yield ending.span, ending.text
        otherwise = ending.then if isinstance(ending, BackTo) else None


def _at_stop(span: Span, step: Step, command: Command, unit: Unit, part: str) -> Seen:
    label = unit.parts[part].label
    return Seen(
        span,
        f"Where the job stops this text says to {command.verb} the {label}; no act says so.",
        "Put it into `steps` of the `otherwise`, with its act.",
        step=step.id,
        part=part,
    )


RULE = Rule("graph/act-missing", page=__doc__, never=True, plan=_check)

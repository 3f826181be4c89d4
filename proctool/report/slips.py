"""`slips`: what each skipped, early or repeated step would lead to, for people and for programs."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Mapping as ReadOnly
from collections.abc import Sequence

from proctool.model.plan import Plan
from proctool.model.slips import Catch, Outcome, Slip, SlipKind, StepSlips
from proctool.report.text import WIDTH, Paint, plain, unmarked

_KINDS = {SlipKind.SKIPPED: "skipped", SlipKind.EARLY: "too early", SlipKind.TWICE: "done twice"}
_COLOURS = {Outcome.CRITICAL: "error", Outcome.UNKNOWN: "error", Outcome.BREAKS: "warning"}


def to_text(plan: Plan, steps: Sequence[StepSlips], *, paint: Paint = plain) -> str:
    """Each step of the main list, numbered as `show` numbers them, and the slips that are not harmless."""
    numbers = {step.id: str(place) for place, step in enumerate(plan.frame.steps, start=1)}
    texts = {step.id: step.text for step in plan.frame.steps}
    critical = sum(step.critical for step in steps)
    lines = _paragraph(f"{plan.title}: {plan.unit.id}, {plan.unit.title}", "")
    lines += [*_paragraph(_summary(critical, len(steps)), ""), ""]
    for found in steps:
        mark = "CRITICAL  " if found.critical else ""
        first, *more = _paragraph(f"{mark}{numbers[found.step]}. {unmarked(texts[found.step])}", "")
        lines += [first.replace(mark, paint(mark, "error"), 1) if mark else first, *more]
        lines += _paragraph(found.step, "    ")
        groups = _alike(found.slips)
        for group in groups:
            slip = group[0]
            told = f"{_when(group, numbers)}: {_what(plan, slip, numbers)}"
            lines += [paint(line, _COLOURS.get(slip.outcome, "plain")) for line in _paragraph(told, "    ")]
        if not groups:
            lines.append("    no slip here breaks anything")
        lines.append("")
    return "\n".join(lines)


def to_json(plan: Plan, steps: Sequence[StepSlips]) -> str:
    """Steps in file order; of each its slips: skipped, early from the first place on, twice.

    `{"procedure", "unit", "steps": [{"step", "critical", "slips": [{"kind": "skipped|early|twice", "before",
    "outcome": "critical|unknown|breaks|caught|harmless", "rule", "part", "caught_by": {"kind": "need|check",
    "step", "part", "rule"}, "trace": [{"step", "passed"}]}]}]}`. What does not apply is null; `trace` is `[]`
    where nothing is broken.
    """
    whole = {
        "procedure": plan.procedure,
        "unit": plan.unit.id,
        "steps": [
            {"step": step.step, "critical": step.critical, "slips": [_slip(slip) for slip in step.slips]}
            for step in steps
        ],
    }
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def _slip(slip: Slip) -> dict[str, object]:
    catch = slip.caught_by
    return {
        "kind": slip.kind.value,
        "before": slip.before,
        "outcome": slip.outcome.value,
        "rule": slip.rule,
        "part": slip.part,
        "caught_by": _catch(catch) if catch is not None else None,
        "trace": [{"step": move.step, "passed": move.passed} for move in slip.trace],
    }


def _catch(catch: Catch) -> dict[str, str]:
    return {"kind": catch.kind, "step": catch.step, "part": catch.part, "rule": catch.rule}


def _summary(critical: int, steps: int) -> str:
    if not critical:
        return f"None of {steps} steps is critical: every slip that could hurt someone shows before it does."
    one = critical == 1
    return (
        f"{critical} of {steps} steps {'is' if one else 'are'} critical: a slip there can hurt someone, and "
        "no need and no check shows it before."
    )


def _alike(slips: Sequence[Slip]) -> list[list[Slip]]:
    """Slips that are not harmless, those of one kind that lead to the same together, the gravest first."""
    groups: dict[tuple[object, ...], list[Slip]] = {}
    for slip in slips:
        if slip.outcome is not Outcome.HARMLESS:
            key = slip.kind, slip.outcome, slip.rule, slip.part, slip.caught_by
            groups.setdefault(key, []).append(slip)
    gravity = list(Outcome)
    return sorted(groups.values(), key=lambda group: gravity.index(group[0].outcome))


def _when(group: Sequence[Slip], numbers: ReadOnly[str, str]) -> str:
    kind = _KINDS[group[0].kind]
    places = sorted({int(numbers[slip.before]) for slip in group if slip.before is not None})
    return f"{kind}, before step {_ranges(places)}" if places else kind


def _ranges(numbers: Sequence[int]) -> str:
    """`1 to 3 or 7`."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told = []
    for run in runs:
        told += [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(number) for number in run]
    return " or ".join(told)


def _what(plan: Plan, slip: Slip, numbers: ReadOnly[str, str]) -> str:
    part = plan.unit.parts.get(slip.part or "")
    broken = f"{slip.rule} on {part.label if part is not None else (slip.part or '').replace('_', ' ')}"
    match slip.outcome:
        case Outcome.UNKNOWN:
            return "NOT KNOWN, taken as critical: not all orders could be followed. Try a larger --budget."
        case Outcome.CRITICAL:
            return f"CRITICAL: {broken}. Done: {_run(slip, numbers)}."
        case Outcome.BREAKS:
            return f"breaks {broken}"
        case _:
            catch = slip.caught_by
            shown = f"caught by {_catcher(catch, numbers)}" if catch is not None else "caught"
            own = catch is not None and catch.rule == slip.rule and catch.part == slip.part
            return shown if own else f"{shown}; else {broken}"


def _catcher(catch: Catch, numbers: ReadOnly[str, str]) -> str:
    step = f"step {numbers[catch.step]}" if catch.step in numbers else catch.step
    if catch.kind == "need":
        return f"the need of {step} on {catch.part.replace('_', ' ')}, which is not met"
    return f"{step}, a check that fails then"


def _run(slip: Slip, numbers: ReadOnly[str, str]) -> str:
    """The steps done, by number where they are of the main list; `1 to 4` where they follow one another."""
    runs: list[list[str]] = []
    last = None
    for move in slip.trace:
        number = numbers.get(move.step) if move.passed is not False else None
        if number is not None and last is not None and int(number) == last + 1:
            runs[-1].append(number)
        else:
            step = numbers.get(move.step, move.step)
            runs.append([step + (" (not so)" if move.passed is False else "")])
        last = int(number) if number is not None else None
    told = [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs]
    return ", ".join(told)


def _paragraph(text: str, indent: str) -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=indent, subsequent_indent=indent + "    " * bool(indent),
        break_long_words=False, break_on_hyphens=False,
    )  # fmt: skip

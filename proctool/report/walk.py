"""`show`: the steps of a plan, what is live, trapped or zero after each, and the story of each fault."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.model.finding import Finding
from proctool.model.plan import BackTo, Continue, EndHere, Frame, Otherwise, Plan, Step
from proctool.model.verdict import Charge, Judgement, Proof, Snapshot
from proctool.report.story import told, ways
from proctool.report.text import WIDTH, explored, unmarked, verdict_words

Charges = ReadOnly[tuple[str, str], Charge]


@dataclass(frozen=True, slots=True)
class Walk:
    """What the paragraphs of all steps are written from."""

    plan: Plan
    proof: Proof
    faults: ReadOnly[str | None, Sequence[Finding]]
    """Findings with a trace by the step at which they break; None for the end."""


def walk(
    plan: Plan, proof: Proof, judgement: Judgement, start: Snapshot, findings: Iterable[Finding] = ()
) -> str:
    """One paragraph per step: number, text, id, the charges that are other than before it, and its faults."""
    faults: dict[str | None, list[Finding]] = {}
    for finding in findings:
        if finding.trace:
            faults.setdefault(finding.step, []).append(finding)
    whole = Walk(plan, proof, faults)
    lines = _paragraph(f"{plan.title}: {plan.unit.id}, {plan.unit.title}", "")
    lines += [f"{verdict_words(judgement.verdict)}; {explored(judgement)}", ""]
    lines += [*_paragraph(f"At the start: {_told(plan, start.charges)}", ""), ""]
    lines += _frame(whole, plan.frame, start.charges, "", "")
    for finding in faults.get(None, ()):
        lines += ["At the end:", *_story(finding, "    "), ""]
    if not proof.explored:
        lines += ["Not all orders could be explored: what is shown may be worse in others.", ""]
    return "\n".join(lines)


def _frame(whole: Walk, frame: Frame, before: Charges, indent: str, number: str) -> list[str]:
    lines: list[str] = []
    for place, step in enumerate(frame.steps, start=1):
        label = f"{number}{place}"
        free = any(not _ordered(frame, place - 1, other) for other in range(len(frame.steps)))
        lines += _paragraph(f"{label}. {unmarked(step.text)}", indent)
        lines += _paragraph(step.id + (" (in free order with others)" if free else ""), f"{indent}    ")
        after = whole.proof.worst.get(step.id, before)
        changed = {key: value for key, value in after.items() if before.get(key) is not value}
        if changed:
            lines += _paragraph(f"now {_told(whole.plan, changed)}", f"{indent}    ")
        for finding in whole.faults.get(step.id, ()):
            lines += _story(finding, f"{indent}    ")
        lines.append("")
        lines += _otherwise(whole, step, after, indent, label)
        before = after
    return lines


def _story(finding: Finding, indent: str) -> list[str]:
    """A fault under its step: what is wrong, what to do, by which way the energy comes, the steps to it."""
    inner = f"{indent}  "
    lines = _paragraph(f"{finding.level.value} {finding.rule}: {finding.message}", indent)
    for text in (finding.help or "", *ways(finding)):
        lines += _paragraph(text, inner)
    lines += _paragraph("How it comes to that:", inner)
    for step in told(finding):
        mark = ">" if step.breaks else " "
        lines += _paragraph(unmarked(step.text), f"{inner}{mark}{step.number:>3} ", f"{inner}     ")
        for change in step.more:
            lines += _paragraph(change, f"{inner}     · ", f"{inner}       ")
    return lines


def _ordered(frame: Frame, a: int, b: int) -> bool:
    return a == b or bool(frame.before[a] >> b & 1 or frame.before[b] >> a & 1)


def _otherwise(whole: Walk, step: Step, after: Charges, indent: str, label: str) -> list[str]:
    lines: list[str] = []
    otherwise: Otherwise | None = step.otherwise
    word = "If not"
    while otherwise is not None:
        inner = f"{indent}      "
        ending = _ending(otherwise)
        if otherwise.frame.steps:
            lines += [*_paragraph(f"{word}:", inner), ""]
            lines += _frame(whole, otherwise.frame, after, inner, f"{label}.")
            lines += [*_paragraph(f"Then {ending}", inner), ""]
        else:
            lines += [*_paragraph(f"{word}: {ending}", inner), ""]
        otherwise = otherwise.ending.then if isinstance(otherwise.ending, BackTo) else None
        word = "If it still fails"
    return lines


def _ending(otherwise: Otherwise) -> str:
    match otherwise.ending:
        case Continue():
            return "go on."
        case EndHere(text):
            return f"stop here. {unmarked(text)}".strip()
        case BackTo(target=target, at_most=times):
            return f"go back to {target}" + (f", at most {times} times." if times else ".")


def _told(plan: Plan, charges: Charges) -> str:
    """`live: inlet housing (water); zero: …`, in the order live, trapped, zero."""
    said = []
    for charge in (Charge.LIVE, Charge.TRAPPED, Charge.ZERO):
        held = [
            f"{plan.unit.parts[part].name} ({plan.unit.energies[energy].name})"
            for (part, energy), value in charges.items()
            if value is charge
        ]
        if held:
            said.append(f"{charge.value}: {', '.join(held)}")
    return "; ".join(said) or "nothing holds energy"


def _paragraph(text: str, first: str, later: str | None = None) -> list[str]:
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=first if later is None else later,
        break_long_words=False,
        break_on_hyphens=False,
    )

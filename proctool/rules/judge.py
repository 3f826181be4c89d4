"""From what the proof saw to what a person reads: breaches to findings, and the verdict."""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as ReadOnly

from proctool.model.finding import Finding, Level
from proctool.model.plan import Plan, Step, every_step
from proctool.model.span import Span
from proctool.model.verdict import Breach, Judgement, Proof, Verdict
from proctool.rules.levels import Levels
from proctool.rules.packs import RULES


def judge(plan: Plan, proof: Proof, levels: Levels) -> tuple[Finding, ...]:
    """A finding for each breach that the proof saw, and one where it had to be given up."""
    steps = {step.id: step for step in every_step(plan.frame)}
    findings = [_finding(plan, steps, breach, levels) for breach in proof.breaches]
    return tuple(findings if proof.explored else [*findings, _too_free(plan)])


def verdict(plan: Plan, proof: Proof, findings: Iterable[Finding]) -> Judgement:
    """The verdict over the findings of the proof, deviations applied.

    A level that a library lowers does not change it: what counts is the rule's own level.
    """
    broken = [f for f in findings if RULES[f.rule].of_proof and RULES[f.rule].level is Level.ERROR]
    answer = Verdict.SAFE
    if not proof.explored:
        answer = Verdict.UNPROVEN
    elif any(not finding.deviated for finding in broken):
        answer = Verdict.UNSAFE
    elif broken:
        answer = Verdict.SAFE_WITH_DEVIATIONS
    return Judgement(plan.procedure, plan.unit.id, answer, proof.orders, proof.states)


def _finding(plan: Plan, steps: ReadOnly[str, Step], breach: Breach, levels: Levels) -> Finding:
    rule = RULES[breach.rule]
    part = plan.unit.parts.get(breach.part)
    words = {
        "part": part.label if part is not None else breach.part.replace("_", " "),
        "energies": " and ".join(plan.unit.energies[e].name for e in breach.energies) or "energy",
    }
    message, help_text = rule.message.format(**words), rule.help.format(**words)
    span = _place(plan, steps, breach)
    return Finding(
        rule=rule.id,
        level=levels.of(rule) or Level.ADVICE,
        message=message[:1].upper() + message[1:],
        file=span.file,
        span=span,
        procedure=plan.procedure,
        unit=plan.unit.id,
        step=breach.step,
        part=breach.part,
        energies=breach.energies,
        trace=breach.trace,
        told=tuple(steps[move.step].text for move in breach.trace),
        help=help_text[:1].upper() + help_text[1:],
    )


def _place(plan: Plan, steps: ReadOnly[str, Step], breach: Breach) -> Span:
    """The step that breaks; at the end, the last step in file order that acts on the part."""
    if breach.step is not None:
        return steps[breach.step].span
    acting = [step for step in steps.values() if any(act.part == breach.part for act in step.acts)]
    return acting[-1].span if acting else plan.span


def _too_free(plan: Plan) -> Finding:
    rule = RULES["graph/too-free"]
    groups = sorted(plan.frame.free, key=lambda group: (-group.steps.bit_count(), group.span))
    costly = groups[0] if groups else None
    span = costly.span if costly else plan.span
    named = ", ".join(f"`{g.id}` ({g.steps.bit_count()} steps)" for g in groups[:3])
    return Finding(
        rule=rule.id,
        level=rule.level,
        message=rule.message.format(part=named or "The freedom given by `after`"),
        file=span.file,
        span=span,
        procedure=plan.procedure,
        unit=plan.unit.id,
        help=rule.help,
    )

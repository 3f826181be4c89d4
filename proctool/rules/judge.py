"""From what the proof saw to what a person reads: breaches to findings, and the verdict."""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly

from proctool.model.finding import Finding, Level
from proctool.model.plan import Plan, Step, every_step
from proctool.model.span import Span
from proctool.model.verdict import Breach, Judgement, Proof, Verdict
from proctool.rules.catalogue import RULES


def judge(plan: Plan, proof: Proof) -> tuple[Judgement, tuple[Finding, ...]]:
    """The verdict of a proven plan, and a finding for each breach."""
    steps = {step.id: step for step in every_step(plan.frame)}
    findings = [_finding(plan, steps, breach) for breach in proof.breaches]
    if not proof.explored:
        findings.append(_too_free(plan))
    broken = any(RULES[breach.rule].level is Level.ERROR for breach in proof.breaches)
    verdict = Verdict.UNPROVEN if not proof.explored else Verdict.UNSAFE if broken else Verdict.SAFE
    judgement = Judgement(plan.procedure, plan.unit.id, verdict, proof.orders, proof.states)
    return judgement, tuple(findings)


def _finding(plan: Plan, steps: ReadOnly[str, Step], breach: Breach) -> Finding:
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
        level=rule.level,
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

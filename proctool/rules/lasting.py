"""Which findings no baseline may hold: what guards people, and what keeps a case from being proven."""

from __future__ import annotations

from collections.abc import Iterable

from proctool.model.finding import Finding, Level
from proctool.model.verdict import Judgement, Verdict
from proctool.rules.packs import RULES


def lasting(findings: Iterable[Finding], verdicts: Iterable[Judgement]) -> frozenset[Finding]:
    """Those of never-rules and of the proof at any level, and all errors of a case that is unproven."""
    unproven = {(v.procedure, v.unit) for v in verdicts if v.verdict is Verdict.UNPROVEN}
    return frozenset(f for f in findings if _guards(f) or _stops(f, unproven))


def _guards(finding: Finding) -> bool:
    rule = RULES.get(finding.rule)
    return rule is not None and (rule.never or (rule.of_proof and rule.level is Level.ERROR))


def _stops(finding: Finding, unproven: set[tuple[str, str]]) -> bool:
    """Whether a finding may be why a case is unproven; one about all units of a procedure may be, too."""
    if finding.level is not Level.ERROR or finding.procedure is None:
        return False
    if finding.unit is None:
        return any(procedure == finding.procedure for procedure, _ in unproven)
    return (finding.procedure, finding.unit) in unproven

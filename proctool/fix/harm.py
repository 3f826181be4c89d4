"""What a change of files does to what is found and proven, in words; nothing where it does no harm."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from proctool.model.finding import Finding
from proctool.model.verdict import Judgement, Verdict
from proctool.results import Check


def harm(before: Check, after: Check) -> str | None:
    """Why `after` does not prove the same as `before`: another verdict, other orders, a new finding.

    Places do not count, since lines move; nor do messages, since they quote what was changed.
    """
    changed = _changed(before.verdicts, after.verdicts)
    if changed is not None:
        return changed
    if len(before.verdicts) != len(after.verdicts):
        return "procedures would be proven on other units"
    more = Counter(map(_what, after.findings)) - Counter(map(_what, before.findings))
    new = next((finding for finding in after.findings if more[_what(finding)]), None)
    return f"it would bring {new.rule}: {new.message}" if new is not None else None


def lost_proof(before: Check, after: Check) -> str | None:
    """Why what was known `before` is known no more, though more can be read `after`.

    What could not be read could not be proven either, so that new cases and findings may come to light.
    """
    return _changed((v for v in before.verdicts if v.verdict is not Verdict.UNPROVEN), after.verdicts)


def _changed(before: Iterable[Judgement], after: Iterable[Judgement]) -> str | None:
    now = {(v.procedure, v.unit): v for v in after}
    for was in before:
        found = now.get((was.procedure, was.unit))
        if found is None or (found.verdict, found.orders) != (was.verdict, was.orders):
            return f"{was.procedure} on {was.unit} would not prove the same"
    return None


def _what(finding: Finding) -> tuple[str | None, ...]:
    return finding.rule, finding.file, finding.procedure, finding.unit, finding.step, finding.part

"""How each rule that can be fixed is fixed: the one list. A fix is one function in one file of its name."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.fix import cut_text, need_unsaid, signal_word, tool_unlisted, unit_spacing
from proctool.fix.edit import Edit
from proctool.fix.sheet import Sheet
from proctool.model.finding import Finding

Fix = Callable[[Sheet, Finding], Edit | str | None]
"""The edit for a finding; or why what is meant is not sure; or None for what this fix is not about."""

READING: ReadOnly[str, Fix] = {
    "wording/cut-text": cut_text.fix,
    "file/schema": signal_word.fix,
}
"""Fixes of what keeps a file from being read."""
PROVING: ReadOnly[str, Fix] = {
    "content/tool-unlisted": tool_unlisted.fix,
    "graph/need-unsaid": need_unsaid.fix,
    "wording/unit-spacing": unit_spacing.fix,
}
"""Fixes of what a library says, after which everything must prove the same."""
FIXES: ReadOnly[str, Fix] = {**READING, **PROVING}


@dataclass(frozen=True, slots=True)
class Proposal:
    """What a fix makes of one finding."""

    finding: Finding
    edit: Edit | None
    unsure: str = ""
    """Why there is no edit."""

    @property
    def file(self) -> str:
        """The file it is about."""
        return self.finding.file

    def refused(self, why: str) -> Proposal:
        """The same without its edit."""
        return Proposal(self.finding, None, why)


def proposals(fixes: ReadOnly[str, Fix], sheet: Sheet, findings: Iterable[Finding]) -> Iterator[Proposal]:
    """What the fixes make of findings in one file; the same edit, or the same doubt, is told once."""
    seen: set[object] = set()
    for finding in findings:
        fix = fixes.get(finding.rule)
        made = fix(sheet, finding) if fix is not None and finding.span is not None else None
        key = (finding.rule, finding.span if isinstance(made, str) else made)
        if made is None or key in seen:
            continue
        seen.add(key)
        yield Proposal(finding, None, made) if isinstance(made, str) else Proposal(finding, made)

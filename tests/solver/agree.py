"""Compare the solver with the package on one problem."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tests.oracle.text import files

from .encode import problem
from .solve import CONFLICTS, Finding, NotSettledError, violations_of


@dataclass(frozen=True, slots=True)
class Comparison:
    """What the two judges found on one problem."""

    solver: set[Finding] | None
    """None where the solver gave up."""
    package: set[Finding]
    whole: bool
    """Whether the package explored all orders; if not, it names what it found so far."""
    trouble: str = ""
    """Why the package gave no verdict, or one that its findings do not bear out."""

    @property
    def settled(self) -> bool:
        """Whether both judges came to an end."""
        return self.solver is not None and self.whole

    @property
    def differences(self) -> list[str]:
        """What only one judge found, as lines; what is half explored must still lie within the other."""
        lines = [self.trouble] if self.trouble else []
        if self.solver is None:
            return lines
        missed = self.solver - self.package if self.whole else set()
        return [
            *lines,
            *(f"only the solver:  {f}" for f in sorted(missed, key=key)),
            *(f"only the package: {f}" for f in sorted(self.package - self.solver, key=key)),
        ]


def key(finding: Finding) -> tuple[str, str, str]:
    """What findings are sorted by."""
    return finding[0], finding[1] or "", finding[2] or ""


def compare(unit: dict[str, Any], procedure: dict[str, Any], conflicts: int = CONFLICTS) -> Comparison:
    """Both judges on a unit and a procedure, the package reading them as files."""
    from proctool.api import RULES, Library

    try:
        solver = violations_of(problem(unit, procedure), conflicts)
    except NotSettledError:
        solver = None
    result = Library.from_texts(files(unit, procedure)).check()
    proof = [f for f in result.findings if f.rule in RULES and RULES[f.rule].of_proof]
    package = {(f.rule, f.step, f.part) for f in proof}
    verdict = ", ".join(str(v.verdict) for v in result.verdicts) or "none"
    errors = any(str(f.level) == "error" for f in proof)
    too_free = any(f.rule == "graph/too-free" for f in result.findings)
    whole = verdict in {"safe", "unsafe"}
    borne_out = verdict == ("unsafe" if errors else "safe") or (verdict == "unproven" and too_free)
    trouble = "" if borne_out else f"the verdict is {verdict}"
    return Comparison(solver, package, whole, trouble)

"""Compare the solver with the package on one problem."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tests.oracle.text import files

from .encode import Problem, problem
from .solve import CONFLICTS, Finding, NotSettledError, violations_of


@dataclass(frozen=True, slots=True)
class Comparison:
    """What the two judges found on one problem."""

    solver: set[Finding]
    package: set[Finding]
    solver_ended: bool
    """Whether the solver came to an end; if not, ``solver`` is what it found so far."""
    package_ended: bool
    """Whether the package explored all orders; if not, ``package`` is what it found so far."""
    trouble: str = ""
    """Why the package gave no verdict, or one that its findings do not bear out."""

    @property
    def settled(self) -> bool:
        """Whether both judges came to an end."""
        return self.solver_ended and self.package_ended

    @property
    def differences(self) -> list[str]:
        """What one judge found and the other, who came to an end, did not; as lines."""
        by_solver = self.solver - self.package if self.package_ended else set()
        by_package = self.package - self.solver if self.solver_ended else set()
        return [
            *([self.trouble] if self.trouble else []),
            *(f"only the solver:  {f}" for f in sorted(by_solver, key=key)),
            *(f"only the package: {f}" for f in sorted(by_package, key=key)),
        ]


def key(finding: Finding) -> tuple[str, str, str]:
    """What findings are sorted by."""
    return finding[0], finding[1] or "", finding[2] or ""


def by_solver(asked: Problem, conflicts: int) -> tuple[set[Finding], bool]:
    """What the solver finds, and whether it came to an end."""
    try:
        return violations_of(asked, conflicts), True
    except NotSettledError as stopped:
        return stopped.found, False


def compare(unit: dict[str, Any], procedure: dict[str, Any], conflicts: int = CONFLICTS) -> Comparison:
    """Both judges on a unit and a procedure, the package reading them as files."""
    from proctool.api import RULES, Library

    solver, ended = by_solver(problem(unit, procedure), conflicts)
    result = Library.from_texts(files(unit, procedure)).check()
    proof = [f for f in result.findings if f.rule in RULES and RULES[f.rule].of_proof]
    package = {(f.rule, f.step, f.part) for f in proof}
    verdict = ", ".join(str(v.verdict) for v in result.verdicts) or "none"
    errors = any(str(f.level) == "error" for f in proof)
    too_free = any(f.rule == "graph/too-free" for f in result.findings)
    whole = verdict in {"safe", "unsafe"}
    borne_out = verdict == ("unsafe" if errors else "safe") or (verdict == "unproven" and too_free)
    trouble = "" if borne_out else f"the verdict is {verdict}"
    return Comparison(solver, package, ended, whole, trouble)

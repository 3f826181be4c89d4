"""What slips at the steps of a proven case would lead to, and the steps that they make critical."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from proctool.draft.slips import countersign
from proctool.draft.slips.slips import slips
from proctool.model.slips import StepSlips
from proctool.results import Case
from proctool.rules.packs import RULES


def slips_of(case: Case, budget: int) -> Iterator[StepSlips]:
    """What each step skipped, done early or done twice would lead to, step by step.

    Raises:
        ValueError: the case is not proven, so a slip would tell nothing.
    """
    if case.plan is None or case.proof is None or not case.proven:
        raise ValueError(f"{case.procedure} on {case.unit} is not proven")
    never = frozenset(rule.id for rule in RULES.values() if rule.never)
    return slips(case.plan, case.proof, never, budget=budget)


def countersigned(case: Case, budget: int) -> Case:
    """A proven case whose critical steps have a place for a second signature."""
    critical = frozenset(step.step for step in slips_of(case, budget) if step.critical)
    if case.plan is None:
        return case
    return replace(case, plan=countersign.countersigned(case.plan, critical))

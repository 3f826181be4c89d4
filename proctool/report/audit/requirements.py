"""What a written energy control procedure must hold, found in the proven steps, not in titles or texts.

29 CFR 1910.147(c)(4)(ii): (A) a statement of the intended use; steps for (B) shutting down, isolating,
blocking and securing, (C) placing, removing and transferring lockout devices and who answers for them, and
(D) testing that verifies the measures.
"""

from __future__ import annotations

from collections.abc import Iterable

from proctool.model.audit import Requirement
from proctool.model.coverage import Aspect, Coverage, Deed, Mark
from proctool.model.plan import Plan
from proctool.model.verdict import Proof

_CUT = "energy/cut-while-running"
_LEFT = "energy/lock-left"


def requirements(plan: Plan, proof: Proof, coverage: Coverage) -> tuple[Requirement, ...]:
    """Each requirement with its steps; none where the plan opens nothing, so that it controls no energy.

    A requirement is met where the same aspect holds in every row of the coverage: one row with a gap and it
    is a gap. What the proof found broken decides on running machines and on locks.
    """
    if not coverage.rows:
        return ()
    broken = {breach.rule for breach in proof.breaches}
    stops, places, removes = (_steps(plan, proof, verbs) for verbs in (("stop",), ("lock",), ("unlock",)))
    isolated, secured, relieved, verified = (
        _rows(plan, coverage, aspect)
        for aspect in (Aspect.ISOLATED, Aspect.SECURED, Aspect.RELIEVED, Aspect.VERIFIED)
    )
    locks = secured[0] is not Mark.NOT_ASKED
    runs_on = _CUT in broken
    return (
        _use(plan),
        Requirement(
            "(B)",
            "shut down",
            Mark.NO if runs_on else Mark.YES if stops else Mark.NOT_ASKED,
            stops,
            "a machine still runs when its energy is cut" if runs_on else "" if stops else "nothing runs on",
        ),
        Requirement("(B)", "isolate", *isolated, of_rows=True),
        Requirement("(B)", "block, relieve", *relieved, of_rows=True),
        Requirement("(B)", "secure", *secured, of_rows=True),
        Requirement(
            "(C)",
            "place lockout devices",
            *(secured if locks else (Mark.NOT_ASKED, places, "")),
            of_rows=True,
        ),
        _removal(removes, secured[0], left=_LEFT in broken),
        _answers(plan, locks=bool(places)),
        Requirement("(D)", "test that it is zero", *verified, of_rows=True),
    )


def _use(plan: Plan) -> Requirement:
    said = bool(plan.title and plan.facts is not None and plan.facts.due)
    why = f"title: {plan.title}; " + ("it says when it is due" if said else "it does not say when it is due")
    return Requirement("(A)", "intended use", Mark.WORD if said else Mark.NO, (), why)


def _removal(removes: tuple[str, ...], secured: Mark, *, left: bool) -> Requirement:
    if left:
        return Requirement("(C)", "remove lockout devices", Mark.NO, removes, "a lock is left in some order")
    if removes:
        return Requirement("(C)", "remove lockout devices", Mark.YES, removes)
    why = "no lock is placed" if secured in {Mark.NOT_ASKED, Mark.WORD} else "they stay, as `leaves` says"
    return Requirement("(C)", "remove lockout devices", Mark.NOT_ASKED, (), why)


def _answers(plan: Plan, *, locks: bool) -> Requirement:
    facts = plan.facts
    people = ", ".join(dict.fromkeys(facts.people)) if facts is not None else ""
    if not locks:
        return Requirement("(C)", "who answers for locks", Mark.NOT_ASKED, (), "no lock is placed")
    if not people:
        return Requirement("(C)", "who answers for locks", Mark.NO, (), "it names no people")
    lead = facts.locks if facts is not None and facts.locks not in {"", "each"} else ""
    said = f"{lead} answers for the group lock" if lead else "each person for the own lock"
    return Requirement("(C)", "who answers for locks", Mark.WORD, (), f"{people}; {said}")


def _rows(plan: Plan, coverage: Coverage, aspect: Aspect) -> tuple[Mark, tuple[str, ...], str]:
    """The worst mark of an aspect over all rows, the main steps that bring it about, and why."""
    cells = [row.cell(aspect) for row in coverage.rows]
    worst = (Mark.UNKNOWN, Mark.NO, Mark.SOMETIMES, Mark.WORD, Mark.YES, Mark.NOT_ASKED)
    mark = min((cell.mark for cell in cells), key=worst.index)
    why = "; ".join(dict.fromkeys(cell.why for cell in cells if cell.mark is mark and cell.why))
    return mark, _main(plan, (deed for cell in cells for deed in cell.by)), why


def _main(plan: Plan, deeds: Iterable[Deed]) -> tuple[str, ...]:
    named = {deed.step for deed in deeds}
    return tuple(step.id for step in plan.frame.steps if step.id in named)


def _steps(plan: Plan, proof: Proof, verbs: tuple[str, ...]) -> tuple[str, ...]:
    """The main steps with an act of some kind that changed something in some order."""
    return tuple(
        step.id
        for step in plan.frame.steps
        if any(act.verb in verbs and act.span in proof.moved for act in step.acts)
    )

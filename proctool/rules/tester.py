"""Portable voltage testers: live, dead, live, as patterns for the testers of a unit.

A proof is for the measurements that follow it. Once work has begun, or the voltage is back, the next
measurement needs a new one: the battery and the leads are older by then.
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.document import Scalar
from proctool.model.plan import Plan
from proctool.model.words import Form, Role
from proctool.rules.house.pattern import Absence, Matcher, Pattern, Precedence, Response, Sequence

RULE = "energy/tester-unproved"


def sequences(plan: Plan) -> Iterator[Sequence]:
    """For each portable tester of an electricity: proved, then zero, then proved, then work."""
    for tester in plan.unit.parts.values():
        energy = plan.unit.energies.get(tester.energy or "")
        if tester.role is not Role.GAUGE or tester.at != "any" or energy is None:
            continue
        if energy.form is not Form.ELECTRICITY:
            continue
        name, tried = frozenset({tester.id}), f"the {tester.label} tried on a live source"
        zero = Matcher(act="verify_zero", by=name)
        prove = Matcher(act="prove_tester", parts=name, shown=tried)
        work = Matcher(act="open", shown="a part being opened")
        back = Matcher(act="restore", carries=frozenset({energy.id}), shown=f"{energy.name} coming back")
        forms: tuple[tuple[str, Pattern], ...] = (
            ("before it shows zero", Precedence(zero, (prove,))),
            ("after it shows zero", Response(zero, (prove,), work)),
            ("again before it shows zero after other work", Absence(zero, (work, prove))),
            ("again before it shows zero after the voltage was back", Absence(zero, (back, prove))),
        )
        for when, form in forms:
            say = f"The {tester.label} is not tried on a known live source {when}."
            yield Sequence(RULE, Scalar(RULE, plan.span), say, form)

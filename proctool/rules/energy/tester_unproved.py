"""A portable voltage tester is tried on a known live source before and after it shows zero.

Why: A tester with an empty battery shows zero everywhere. Tried before, it worked; tried after, and before
anything is opened on the strength of it, it still did.

Source: NFPA 70E 120.5 (2018), as told in a trade journal: live, dead, live. 29 CFR 1910.333(b)(2)(iv)(B),
read in summaries only: the check is mandatory above 600 V.

Bad::

    steps:
      - stop: pump
      - isolate: plug
        lock: plug
      - check: The <tester> reads 0 V at the <pump>.
        verify_zero: {part: pump, by: tester}
        otherwise: {end_here: Leave the lock on. Call for help.}

Good::

    steps:
      - stop: pump
      - isolate: plug
        lock: plug
      - check: The <tester> shows the voltage of a live socket.
        id: before
        prove_tester: tester
        otherwise: {end_here: Leave the lock on. Send the tester for repair.}
      - check: The <tester> reads 0 V at the <pump>.
        verify_zero: {part: pump, by: tester}
        otherwise: {end_here: Leave the lock on. Call for help.}
      - check: The <tester> still shows the voltage of a live socket.
        id: after
        prove_tester: tester
        otherwise: {end_here: Leave the lock on. Send the tester for repair.}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.document import Scalar
from proctool.model.finding import Level
from proctool.model.plan import Plan
from proctool.model.words import Form, Role
from proctool.rules.house.pattern import Matcher, Pattern, Precedence, Response, Sequence
from proctool.rules.rule import Rule


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
        forms: tuple[tuple[str, Pattern], ...] = (
            ("before it shows zero", Precedence(zero, (prove,))),
            ("after it shows zero", Response(zero, (prove,), Matcher(act="open"))),
        )
        for when, form in forms:
            say = f"The {tester.label} is not tried on a known live source {when}."
            yield Sequence(RULE.id, Scalar(RULE.id, plan.span), say, form)


RULE = Rule("energy/tester-unproved", page=__doc__, level=Level.WARNING)

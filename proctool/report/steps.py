"""`show PROCEDURE` for programs: the resolved steps, and what each part holds after each of them."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.model.finding import Finding
from proctool.model.numbers import numbers
from proctool.model.plan import BackTo, Continue, EndHere, Frame, Otherwise, Plan, Step
from proctool.model.verdict import Charge, Judgement, Proof, Snapshot
from proctool.report.json import finding_data, verdict_data

Charges = ReadOnly[tuple[str, str], Charge]


def to_json(
    judgement: Judgement,
    findings: Iterable[Finding],
    plan: Plan | None = None,
    proof: Proof | None = None,
    start: Snapshot | None = None,
) -> str:
    """The whole plan; steps in file order, those that follow a failed check under it. Without one no steps.

    `{"procedure", "unit", "verdict": "safe|safe_with_deviations|unsafe|unproven", "orders", "states",
    "explored", "start": CHARGES, "steps": [STEP], "findings": [as of check]}`. CHARGES is `[{"part",
    "energy", "charge": "live|trapped|zero"}]`; those of a step are the worst over all orders right after it,
    and `[]` where no order that was explored comes to it. STEP is `{"step", "number", "kind":
    "do|check|read|wait", "text", "after": [the ids of the steps of its list that always come before], "acts":
    [{"act", "part", "by", "energy", "what"}], "needs": [{"name", "word"}], "charges": CHARGES, "otherwise":
    [{"steps": [STEP], "ending": "continue|back_to|end_here", "to", "at_most", "text"}]}`; where going back
    has a `then`, it is a second entry of `otherwise`. What does not apply is null.
    """
    whole = {
        **verdict_data(judgement),
        "explored": proof is not None and proof.explored,
        "start": _charges(start.charges) if start is not None else [],
        "steps": _Steps(proof.worst, numbers(plan)).frame(plan.frame) if plan and proof else [],
        "findings": [finding_data(finding) for finding in findings],
    }
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def _charges(charges: Charges) -> list[dict[str, str]]:
    return [{"part": part, "energy": energy, "charge": c.value} for (part, energy), c in charges.items()]


@dataclass(frozen=True, slots=True)
class _Steps:
    """What steps are written from."""

    worst: ReadOnly[str, Charges]
    number: ReadOnly[str, str]

    def frame(self, frame: Frame) -> list[dict[str, object]]:
        """The steps of a list."""
        ids = [step.id for step in frame.steps]
        return [
            self._step(step, [name for j, name in enumerate(ids) if before >> j & 1])
            for step, before in zip(frame.steps, frame.before, strict=True)
        ]

    def _step(self, step: Step, after: list[str]) -> dict[str, object]:
        return {
            "step": step.id,
            "number": self.number[step.id],
            "kind": step.kind.value,
            "text": step.text,
            "after": after,
            "acts": [
                {
                    "act": a.verb,
                    "part": a.part or None,
                    "by": a.by,
                    "energy": a.energy,
                    "what": a.what or None,
                }
                for a in step.acts
            ],
            "needs": [{"name": need.name, "word": need.word} for need in step.needs],
            "charges": _charges(self.worst.get(step.id, {})),
            "otherwise": list(self._otherwise(step.otherwise)),
        }

    def _otherwise(self, otherwise: Otherwise | None) -> Iterator[dict[str, object]]:
        while otherwise is not None:
            yield {"steps": self.frame(otherwise.frame), **_ending(otherwise.ending)}
            otherwise = otherwise.ending.then if isinstance(otherwise.ending, BackTo) else None


def _ending(ending: Continue | EndHere | BackTo) -> dict[str, object]:
    match ending:
        case Continue():
            return {"ending": "continue", "to": None, "at_most": None, "text": None}
        case EndHere(text):
            return {"ending": "end_here", "to": None, "at_most": None, "text": text or None}
        case BackTo(target=target, at_most=times):
            return {"ending": "back_to", "to": target, "at_most": times, "text": None}

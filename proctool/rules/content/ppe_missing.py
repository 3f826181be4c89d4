"""What a safety message tells people to wear is put on before; and what opens a unit says what to wear.

Why: A message is read once, and the hands are already wet. A step with a box to tick is done. And a manual
that says "Wear: none" for work on a pressurised housing because nobody thought of it is wrong.

Source: Regulation (EU) 2023/1230 Annex III 1.7.4.2(m): protective measures and protective equipment are in
the instructions. That it is put on in a step before is common practice, no source. Words of protective
equipment are known for English texts only.

Bad::

    library:
      ppe: {gloves: cut-resistant gloves}
      dangers:
        edges: {word: caution, hazard: Sharp edges., harm: They can cut your hands., avoid: Wear gloves.}
    steps:
      - stop: pump
      - do: Lift the grille off the <pump>.
        warn: edges

Good::

    library:
      ppe: {gloves: cut-resistant gloves}
      dangers:
        edges: {word: caution, hazard: Sharp edges., harm: They can cut your hands., avoid: Wear gloves.}
    steps:
      - stop: pump
      - do: Put on your <gloves>.
      - do: Lift the grille off the <pump>.
        warn: edges
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.plan import Plan, Step
from proctool.model.unit import Danger
from proctool.network.kept import network_of
from proctool.network.reach import Network
from proctool.rules.content.nouns import ORDERS, WORN
from proctool.rules.content.walk import english, with_things_before
from proctool.rules.energy.no_warning import met
from proctool.rules.rule import ProcedureSubject, Rule, Seen, UseSubject


def _check(subject: ProcedureSubject) -> Iterator[Seen]:
    opening = any(case.verbs & {"open", "uncover"} for case in subject.cases)
    if opening and not subject.library.ppe:
        yield Seen(
            subject.procedure.span,
            "This procedure opens a unit, and nothing says what to wear.",
            "Write `ppe: {glasses: safety glasses}` into library.yaml, and a step that puts them on.",
        )


def _check_use(subject: UseSubject) -> Iterator[Seen]:
    plan, ppe = subject.plan, subject.library.ppe
    network = network_of(plan.unit)
    for step, had in with_things_before(plan.frame) if english(plan) else ():
        on = " / ".join(ppe[thing] for thing in had if thing in ppe).lower()
        for danger in _dangers(plan, network, step):
            yield from _not_worn(step, danger, on)


def _dangers(plan: Plan, network: Network, step: Step) -> Iterator[Danger]:
    """The safety messages that stand before a step."""
    yield from step.dangers
    for act in step.acts:
        for energy, _ in met(network, act):
            if (warning := plan.unit.energies[energy].warning) is not None:
                yield warning


def _not_worn(step: Step, danger: Danger, on: str) -> Iterator[Seen]:
    """What a safety message orders to be worn that nothing put on is called by."""
    if not ORDERS.search(danger.avoid):
        return
    for found in WORN.finditer(danger.avoid):
        if found[0].lower().split()[-1] not in on:
            yield Seen(
                step.span,
                f"The {danger.word} before this step asks for {found[0].lower()}; none is put on before it.",
                "Put a step before it: `do: Put on your <…>.`, with the name from `ppe` in library.yaml.",
                step.id,
            )


RULE = Rule("content/ppe-missing", page=__doc__, procedure=_check, use=_check_use)

"""What a step uses up or puts in new is one of the library's supplies, so that the manual lists it.

Why: The wrong O-ring fits and leaks. The list of supplies and spares carries the name and the number it is
ordered by; a text that says "a new seal" carries neither, and the van leaves without one.

Source: DITA `supplies` and `spares`, S1000D `reqSupplies` and `reqSpares` (element names read). Regulation
(EU) 2023/1230 Annex III 1.7.4.2(t): specifications of spare parts that bear on safety. Words of supplies are
known for English texts only.

Bad::

    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Fit a new O-ring to the <housing>.
        new_seal: housing

Good::

    library:
      supplies: {o_ring: {name: housing O-ring, part_number: EX-17}}
    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Fit a new <o_ring> to the <housing>.
        new_seal: housing
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.plan import Plan, Step, every_step
from proctool.model.words import Form
from proctool.rules.content.listed import unlisted
from proctool.rules.content.nouns import NEW, SUPPLY
from proctool.rules.content.walk import english, plain_text
from proctool.rules.rule import Rule, Seen, UseSubject


def _check(subject: UseSubject) -> Iterator[Seen]:
    supplies = subject.library.supplies
    plan = subject.plan
    rest = []
    for step in every_step(plan.frame):
        wanted = next((said for act in step.acts if (said := _takes(plan, step, act.verb, act.energy))), None)
        if wanted is None or supplies.keys() & set(step.things):
            rest.append(step)
            continue
        yield Seen(
            step.span,
            f"{wanted} here, and no supply is named: the manual's list of supplies does not show it.",
            "Name it in the text with `<…>`, or in `using`; it stands under `supplies` in library.yaml.",
            step.id,
        )
    if english(plan):
        yield from unlisted(plan, rest, SUPPLY, supplies, "supplies")


def _takes(plan: Plan, step: Step, verb: str, energy: str | None) -> str | None:
    """What an act of a step takes from the supplies, in words; None where it takes nothing for sure."""
    dosed = plan.unit.energies.get(energy or "")
    if verb == "fit" and english(plan) and NEW.search(plain_text(step)):
        return "Something new is fitted"
    if verb == "dose" and dosed is not None and dosed.form is Form.CHEMICAL:
        return "A chemical is put in"
    return {"new_seal": "A new seal is fitted", "lubricate": "Something is lubricated"}.get(verb)


RULE = Rule("content/supply-unlisted", page=__doc__, level=Level.WARNING, use=_check)

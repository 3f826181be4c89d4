"""What touches drinking water or food is approved for it.

Why: The wrong grease swells the seal and is drunk with the water. What goes into a part that carries drinking
water (grease, seal, cartridge, disinfectant) says in the library that it may touch it, and by which approval.

Source: 21 CFR 178.3570: lubricants with incidental food contact; at most 10 ppm of mineral oil and 1 ppm of
dimethylpolysiloxane (silicone) in food, so that the limit for silicone is ten times tighter. NSF/ANSI/CAN 61
and 60 for parts and chemicals that touch drinking water (read in a summary). Which approval is right is not
judged here. It is an error because it guards people.

Bad::

    library:
      supplies: {grease: silicone grease}
    unit:
      energies: {water: {medium: drinking water}}
    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Wipe the seal of the <housing> with <grease>.
        lubricate: {part: housing, what: seal}

Good::

    library:
      supplies: {grease: {name: silicone grease, touches: drinking water, approval: 21 CFR 178.3570}}
    unit:
      energies: {water: {medium: drinking water}}
    steps:
      - use: make-safe
      - do: Unscrew the <housing>.
        open: housing
      - do: Wipe the seal of the <housing> with <grease>.
        lubricate: {part: housing, what: seal}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.plan import Plan, Step, every_step
from proctool.model.procedure import Thing
from proctool.model.quantity import Quantity, compare, parse
from proctool.rules.gist import REPLACING
from proctool.rules.rule import Rule, Seen, UseSubject

LIMITS = {"mineral_oil": "10 ppm", "silicone": "1 ppm"}
"""21 CFR 178.3570: the most that may get into food. Silicone is dimethylpolysiloxane of more than 300 cSt."""
_BRINGING = REPLACING | {"lubricate", "dose"}


def _check(subject: UseSubject) -> Iterator[Seen]:
    supplies = {t.key.text: t for t in subject.library.things if t.key.text in subject.library.supplies}
    for step in every_step(subject.plan.frame):
        media = tuple(dict.fromkeys(_media(subject.plan, step)))
        for thing in (supplies[name] for name in step.things if name in supplies):
            for medium in media:
                if medium.casefold() not in thing.touches.casefold():
                    yield Seen(
                        thing.key.span,
                        f"The {thing.name} goes into what carries {medium}, and nothing says that it may.",
                        f"Use one that may, and write `touches: {medium}` and `approval: …` for it.",
                    )
            if thing.touches:
                yield from _unfit(thing)


def _media(plan: Plan, step: Step) -> Iterator[str]:
    """What is carried where a step puts something in."""
    brought = [act for act in step.acts if act.verb in _BRINGING]
    parts = {part for act in brought for part in ((act.part,) if act.part else plan.opens)}
    for line in plan.unit.lines.values() if parts else ():
        if parts & set(line.path):
            yield from (medium for e in line.energies if (medium := plan.unit.energies[e].medium))


def _unfit(thing: Thing) -> Iterator[Seen]:
    """What is wrong with a supply that touches something."""
    if not thing.approval:
        yield Seen(
            thing.key.span,
            f"The {thing.name} touches {thing.touches} and has no approval for it.",
            "Write `approval: …`: what its maker's declaration or label names.",
        )
    for substance, most in thing.gives_off:
        amount, limit = parse(most.text), parse(LIMITS[substance.text])
        order = (
            compare(amount, limit) if isinstance(amount, Quantity) and isinstance(limit, Quantity) else None
        )
        if order is None or order > 0:
            yield Seen(
                most.span,
                f"Found {most.text} of {substance.text.replace('_', ' ')}; "
                f"at most {LIMITS[substance.text]} may get into {thing.touches}.",
                "Use another, or less of it by its data sheet.",
            )


RULE = Rule("content/lubricant-unfit", page=__doc__, use=_check)

"""What shows a technician that an energy is gone: each gauge, tester or way out that a step looks at."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from proctool.model.plan import Step
from proctool.model.quantity import dimension, parse, parse_range, show_text
from proctool.model.unit import Energy, Part, Unit
from proctool.model.words import Role
from proctool.render import words
from proctool.render.grid import Pair
from proctool.render.item import Blank
from proctool.render.manual import Entry
from proctool.render.readings import Shows, reading
from proctool.render.speech import say


@dataclass(frozen=True, slots=True)
class Sight:
    """One device that shows zero in a step, and the parts that it shows it for."""

    by: Part
    energy: Energy | None
    """None for a way out, and where the unit has no such energy."""
    parts: tuple[Part, ...]

    @property
    def within(self) -> str:
        """What its reading must lie in; empty where there is no number.

        A way out flows or not and a lamp is lit or dark; what has no safe value in numbers is judged by none.
        """
        if self.energy is None or self.by.text("span") is None:
            return ""
        limits = reads_zero(self.energy.safe)
        return "" if isinstance(parse_range(limits), str) else limits


def sights(step: Step, unit: Unit) -> tuple[Sight, ...]:
    """The devices that show zero in a step, in its order, each of them once."""
    seen: dict[str, list[Part]] = {}
    for act in step.acts:
        by = act.by or ""
        if act.verb == "verify_zero" and by in unit.parts and act.part in unit.parts:
            seen.setdefault(by, []).append(unit.parts[act.part])
    return tuple(
        Sight(unit.parts[by], _energy(unit.parts[by], unit), tuple(parts)) for by, parts in seen.items()
    )


def _energy(by: Part, unit: Unit) -> Energy | None:
    return None if by.role is Role.VENT else unit.energies.get(by.energy or "")


def facts(step: Step, unit: Unit, shows: Shows) -> tuple[Pair, ...]:
    """Within which limits each gauge shows zero."""
    within = ((one.by.label, show_text(one.within, shows)) for one in sights(step, unit) if one.within)
    return tuple(
        Pair(say("Must be"), say("{value} on {gauge}", value=value, gauge=gauge)) for gauge, value in within
    )


def blanks(step: Step, unit: Unit, shows: Shows) -> tuple[Blank, ...]:
    """Where is written down, or chosen, what each device showed; which one, where there are several."""
    every = sights(step, unit)
    return tuple(_blank(one, shows, alone=len(every) == 1) for one in every)


def entries(number: str, step: Step, unit: Unit, shows: Shows) -> tuple[Entry, ...]:
    """The same on the record sheet; `number` is that of the step."""
    return tuple(
        Entry(
            number,
            say("{gauge} for the {part}", gauge=one.by.label, part=_named(one.parts)),
            _must(one, shows),
            (blank,),
        )
        for one, blank in zip(sights(step, unit), blanks(step, unit, shows), strict=True)
    )


def _blank(sight: Sight, shows: Shows, *, alone: bool) -> Blank:
    label = say("Found") if alone else say("Found at {gauge}", gauge=sight.by.label)
    if sight.within:
        return reading(sight.within, shows, label)
    return Blank(label, choices=(say("zero"), say("not zero")))


def _named(parts: Iterable[Part]) -> str:
    return words.listed(dict.fromkeys(part.label for part in parts))


def _must(sight: Sight, shows: Shows) -> str:
    if sight.within:
        return show_text(sight.within, shows)
    return say("no more flow") if sight.energy is None else say("no {energy}", energy=sight.energy.name)


def reads_zero(safe: str) -> str:
    """The range in which a gauge shows that an energy is gone: from nothing to what is safe.

    A temperature has no such nothing: there it is what is safe or less.
    """
    found = parse(safe)
    if isinstance(found, str) or not found.value:
        return safe
    if dimension(found.measure) == "temperature":
        return f"{safe} or less"
    nothing = f"0 {found.measure}"
    return f"{nothing} to {safe}" if found.value > 0 else f"{safe} to {nothing}"

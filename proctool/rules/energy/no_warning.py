"""The harm of each energy that a step could meet is told: signal word, hazard, harm, and how to avoid it.

Why: People take care of what they know can hurt them. An energy's warning is shown before each step that
opens, uncovers or vents a part of it, or that opens a wet part beside it; where the unit says none, nothing
is shown.

Source: 29 CFR 1910.147(d)(1): who shuts a machine down knows the energy, its size, its hazards and how to
control it. That a message names hazard, consequence and avoidance is from summaries of ANSI Z535; the signal
words danger, warning, caution and notice are those of ANSI Z535.4, as cited in one.

Bad::

    unit:
      energies:
        coolant:
          form: chemical
          normal: 40 %
          safe: 0 %
      lines:
        coolant: {energy: coolant, path: [housing, drain]}
    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
      - vent: drain

Good::

    unit:
      energies:
        coolant:
          form: chemical
          normal: 40 %
          safe: 0 %
          warning: {word: caution, hazard: Glycol., harm: It irritates eyes and skin., avoid: Wear glasses.}
      lines:
        coolant: {energy: coolant, path: [housing, drain]}
    steps:
      - stop: pump
      - isolate: [inlet_valve, plug]
        lock: [inlet_valve, plug]
      - vent: drain
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from proctool.model.plan import Act, every_step
from proctool.model.unit import Energy
from proctool.model.words import WETTING, Form
from proctool.network.reach import Network
from proctool.rules.rule import PlanSubject, Rule, Seen

_FIELDS = ("word", "hazard", "harm", "avoid")


def check(subject: PlanSubject) -> Iterable[Seen]:
    """Every energy with no whole warning that some step could meet, told once, at the energy."""
    energies = subject.plan.unit.energies
    told: set[str] = set()
    for step in every_step(subject.plan.frame):
        for act in step.acts:
            for name, part in met(subject.network, act):
                if name in told or not (lacks := _lacks(energies[name])):
                    continue
                told.add(name)
                label = subject.plan.unit.parts[part].label
                yield Seen(
                    energies[name].span,
                    f"Work at the {label} could meet {energies[name].name}, and {lacks}.",
                    "Write `warning: {word: …, hazard: …, harm: …, avoid: …}` for this energy.",
                    step.id,
                    part,
                    (name,),
                )


def met(network: Network, act: Act) -> Iterator[tuple[str, str]]:
    """The energies that an act could bring out at a person, each with the part it is met at."""
    if act.verb not in {"open", "uncover", "vent"}:
        return
    energies = network.energies_of(act.part)
    yield from ((energy, act.part) for energy in energies)
    forms = {network.unit.energies[energy].form for energy in energies}
    if act.verb == "open" and forms & WETTING:
        for beside in network.unit.parts[act.part].near:
            for energy in network.energies_of(beside):
                if network.unit.energies[energy].form is Form.ELECTRICITY:
                    yield energy, beside


def _lacks(energy: Energy) -> str | None:
    """What an energy's warning does not tell, or None where it is whole."""
    if energy.warning is None:
        return "nothing warns of it"
    missing = [field for field in _FIELDS if not getattr(energy.warning, field).strip()]
    return f"its warning has no {' and no '.join(f'`{field}`' for field in missing)}" if missing else None


RULE = Rule("energy/no-warning", page=__doc__, plan=check)

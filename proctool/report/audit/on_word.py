"""All that the proof took as it was written: what nobody proved, and a person must have looked at."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from proctool.model.audit import OnWord
from proctool.model.document import Mapping, Scalar, Sequence
from proctool.model.plan import Plan, every_step
from proctool.model.unit import Part, Unit
from proctool.model.words import WETTING, Control, Role
from proctool.network.kept import network_of
from proctool.network.reach import Network

EXCUSE = "Needs no lock"
FREE_END = "Feeds nothing back"
DRY = "No electricity near"
END = "Ends here"
PIPED = "Lets out where nobody stands"
WAIT = "Is empty after a time"
BROUGHT = "Is not there before it is brought"
FOUND = "Found so"
LEFT = "Left so"
NO_LINE = "Opened, and on no line"
NOBODY = "Nobody walked the unit with its file"


def of_unit(unit: Unit) -> Iterator[OnWord]:
    """What the file of a unit says that no proof can hold against the unit itself."""
    checked = unit.checked
    missing = [
        name for name in ("by", "date", "drawing", "serials") if checked is None or not getattr(checked, name)
    ]
    if missing:
        said = "no `checked`" if checked is None else f"`checked` lacks {', '.join(missing)}"
        yield OnWord(NOBODY, unit.id, unit.title, said, unit.span)
    if unit.control is Control.EXCLUSIVE:
        said = "`lockout: exclusive_control`: every isolator counts as secured without a lock"
        yield OnWord(EXCUSE, unit.id, "the whole unit", said, unit.span)
    for energy in unit.energies.values():
        if energy.brought:
            yield OnWord(
                BROUGHT, unit.id, energy.name, "`brought: true`: none of it at the start", energy.span
            )
    network = network_of(unit)
    for part in unit.parts.values():
        yield from _of_part(unit, network, part)


def _of_part(unit: Unit, network: Network, part: Part) -> Iterator[OnWord]:
    if part.exclusive_control:
        said = "`exclusive_control: true`: counts as secured without a lock"
        yield OnWord(EXCUSE, unit.id, part.label, said, part.span)
    if part.role is Role.OUTLET and not part.feeds_back:
        why = part.text("why") or "no reason given"
        yield OnWord(FREE_END, unit.id, part.label, f"`feeds_back: false`: {why}", part.span)
    near = part.properties.get("near")
    wet = any(unit.energies[energy].form in WETTING for energy in network.energies_of(part.id))
    if isinstance(near, Sequence) and not part.near and wet:
        yield OnWord(DRY, unit.id, part.label, "`near: []`: opening it wets nothing electrical", part.span)
    if part.end:
        yield OnWord(END, unit.id, part.label, "`end: true`: nothing joins it there", part.span)
    if part.piped:
        yield OnWord(PIPED, unit.id, part.label, "`piped: true`: its outflow reaches nobody", part.span)
    waits = part.properties.get("leaves_in")
    for energy, least in waits if isinstance(waits, Mapping) else ():
        if isinstance(least, Scalar) and energy.text in unit.energies:
            name = unit.energies[energy.text].name
            yield OnWord(
                WAIT, unit.id, part.label, f"`leaves_in`: {name} is gone after {least.text}", part.span
            )


def of_plans(procedure: str, plans: Iterable[Plan]) -> Iterator[OnWord]:
    """What a procedure says of the unit it finds and leaves, and what it opens that no line names."""
    found: dict[tuple[str, str, str], OnWord] = {}
    for plan in plans:
        parts = plan.unit.parts
        for kind, states in ((FOUND, plan.starts), (LEFT, plan.leaves)):
            for name, words in states.items():
                about = parts[name].label if name in parts else name
                word = "starts" if kind is FOUND else "leaves"
                said = f"`{word}`: {', '.join(word.replace('_', ' ') for word in words)}"
                found[kind, about, said] = OnWord(kind, procedure, about, said, plan.span)
        carried = {part for line in plan.unit.lines.values() for part in line.path}
        for step in every_step(plan.frame):
            for act in step.acts:
                if act.verb == "open" and act.part not in carried and parts[act.part].role is not Role.GAUGE:
                    said = f"no energy reaches it in the file of {plan.unit.id}: nothing is proven of it"
                    about = parts[act.part].label
                    found[NO_LINE, about, said] = OnWord(NO_LINE, procedure, about, said, act.span)
    yield from found.values()

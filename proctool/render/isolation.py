"""The energy isolation table, and what stays live while parts stand open."""

from __future__ import annotations

from collections.abc import Iterable

from proctool.model.plan import Act, Frame, Plan, every_step
from proctool.model.quantity import show_text
from proctool.model.unit import Energy
from proctool.model.verdict import Charge, Proof
from proctool.model.words import FLUIDS, KEPT_BY_ALL, Form, Role
from proctool.network.reach import Network
from proctool.render import words
from proctool.render.devices import at_start, before_step
from proctool.render.manual import Isolation
from proctool.render.meeting import EXPOSING, exposed, least_waits, met
from proctool.render.readings import Shows
from proctool.render.speech import say


def isolation(plan: Plan, network: Network, shows: Shows) -> tuple[Isolation, ...]:
    """One row for each energy at each isolator that the main steps isolate.

    An energy that exposed parts carry and that no isolator cuts gets a row as well: it must not be missed.
    `shows` has the measures shown for each kind of quantity.
    """
    unit = plan.unit
    acts = [act for step in plan.frame.steps for act in step.acts]
    isolated = tuple(dict.fromkeys(act.part for act in acts if act.verb == "isolate"))
    locked = {act.part for act in acts if act.verb == "lock"}
    carried = {energy for _, energy in met(network, exposed(plan))}
    rows: list[Isolation] = []
    for energy in unit.energies.values():
        on_line = network.on_line[energy.id]
        cut = [unit.parts[name] for name in isolated if on_line >> network.place[name] & 1]
        if not cut and energy.id not in carried:
            continue
        relieved = _relieved(energy, acts, network, shows)
        verified, normal = _verified(energy, acts, network, plan, shows)
        size = show_text(energy.normal, shows) or say("size not stated")
        kind = say(words.FORMS[energy.form])
        said = words.capital(energy.name)
        said = said if kind.startswith(energy.name) else say("{name} ({kind})", name=said, kind=kind)
        places = [
            (
                f"{words.capital(part.label)}: {words.off_word(part)}",
                part.text("place") or say("place not stated"),
                words.lock(part, locked=part.id in locked),
                part.id,
            )
            for part in cut
        ]
        if not places:
            none = say("Not brought in yet") if energy.brought else say("No isolator is used")
            places = [(none, "—", "—", "")]
        zero = show_text(energy.safe, shows) or say("not stated")
        for n, (isolator, place, lock, name) in enumerate(places):
            whole = (relieved, verified, normal) if n == 0 else (say("as above"),) * 3
            rows.append(Isolation(said, size, isolator, place, lock, *whole, zero, name))
    return tuple(rows)


def _relieved(energy: Energy, acts: Iterable[Act], network: Network, shows: Shows) -> str:
    """Through which vents, or by which waiting or other discharge, the energy goes."""
    unit, on_line = network.unit, network.on_line[energy.id]
    said: list[str] = []
    waits: list[str] = []
    here = [a for a in acts if a.part in network.place and on_line >> network.place[a.part] & 1]
    for act in here:
        part = unit.parts[act.part]
        if act.verb == "vent" and energy.form in FLUIDS:
            to = part.text("to")
            if to:
                said.append(say("open {vent} (to {place})", vent=part.label, place=to))
            else:
                said.append(say("open {vent}", vent=part.label))
        elif act.verb == "discharge" and (energy.form not in FLUIDS or energy.id in part.keeps):
            said.append(say("discharge {part}", part=part.label))
            waits += (
                say("at least {time} for the {part}", time=show_text(least, shows), part=of.label)
                for of, e, least in least_waits(act, network)
                if e == energy.id
            )
        elif act.verb == "flush" and energy.form is Form.CHEMICAL:
            said.append(say("flush {part}", part=part.label))
    if said:
        how = words.listed(dict.fromkeys(said))
        if not waits:
            return how
        return say("{how}; wait {times}", how=how, times=words.listed(dict.fromkeys(waits)))
    if energy.form not in KEPT_BY_ALL and not network.stores & on_line:
        return say("nothing is stored: gone when the isolator is off")
    return say("NOT RELIEVED in this procedure")


def _verified(
    energy: Energy, acts: Iterable[Act], network: Network, plan: Plan, shows: Shows
) -> tuple[str, str]:
    """What shows zero, and the normal reading of the gauges among them."""
    unit = network.unit
    said: dict[str, list[str]] = {}
    usual: list[str] = []
    for act in acts:
        by = unit.parts.get(act.by or "")
        if act.verb != "verify_zero" or by is None or act.part not in network.place:
            continue
        on_line = network.on_line[energy.id] >> network.place[act.part] & 1
        if by.role is Role.GAUGE and by.energy == energy.id and on_line:
            said.setdefault(by.label, []).append(unit.parts[act.part].name)
            if by.usual:
                usual.append(f"{by.label}: {show_text(by.usual, shows)}")
        elif by.role is Role.VENT and energy.form in FLUIDS and on_line:
            said.setdefault(say("no more flow at {vent}", vent=by.label), []).append(
                unit.parts[act.part].name
            )
    normal = words.clauses(dict.fromkeys(usual)) or show_text(energy.normal, shows) or say("not stated")
    if said:
        every = (
            say("{gauge} (for {parts})", gauge=name, parts=words.listed(dict.fromkeys(at)))
            for name, at in said.items()
        )
        return words.clauses(every), normal
    opened = {(part, e) for part, e in met(network, exposed(plan)) if part in exposed(plan)}
    if any(e == energy.id for _, e in opened):
        return say("NOT VERIFIED in this procedure"), normal
    return say("not measured: no part with {energy} is opened", energy=energy.name), normal


def at_zero(plan: Plan) -> bool:
    """Whether the procedure opens something, or brings something to zero."""
    verbs = {act.verb for step in every_step(plan.frame) for act in step.acts}
    return bool(verbs & (EXPOSING | {"verify_zero"}))


def untouched(network: Network, met: frozenset[str], shows: Shows) -> str:
    """What stays in the unit during the whole job and no step comes near, in one sentence; else empty."""
    said: list[str] = []
    for energy in network.unit.energies.values():
        if energy.id in met or energy.brought:
            continue
        on_line = network.on_line[energy.id]
        at = network.names(on_line & network.holders) or network.names(on_line & network.sources[energy.id])
        size = show_text(energy.normal, shows) if energy.normal else ""
        where = words.listed(network.unit.parts[name].label for name in at)
        said.append(_at(energy.name, size, where))
    if not said:
        return ""
    return say(
        "These stay live during this job, and no step touches them: {energies}.",
        energies=words.clauses(said),
    )


def _at(energy: str, size: str, parts: str) -> str:
    """An energy, its size and the parts where it is, as far as they are known."""
    if size and parts:
        return say("{energy}, {size}, at the {parts}", energy=energy, size=size, parts=parts)
    if parts:
        return say("{energy} at the {parts}", energy=energy, parts=parts)
    return say("{energy}, {size}", energy=energy, size=size) if size else energy


def first_exposure(frame: Frame) -> int | None:
    """The place of the first step that opens or uncovers a part."""
    exposing = (i for i, s in enumerate(frame.steps) if any(a.verb in EXPOSING for a in s.acts))
    return next(exposing, None)


def still_live(plan: Plan, proof: Proof, network: Network) -> tuple[str, ...]:
    """What is fed, or still holds energy, when the first part is opened; one line for each energy."""
    place = first_exposure(plan.frame)
    if place is None:
        return ()
    unit = plan.unit
    step = plan.frame.steps[place]
    devices = before_step(plan.frame, place, at_start(plan), unit.parts)
    worst = proof.worst.get(step.id)
    found: list[str] = []
    for energy in unit.energies.values():
        sources = network.sources[energy.id]
        off = network.mask(name for name in devices.off if name in network.place)
        live = network.danger(energy.id, sources, off) if sources else 0
        ends = [unit.parts[n].label for n in network.names(live & off)]
        parts = list(network.names(sources))
        trapped: list[str] = []
        for (part, e), charge in (worst or {}).items():
            if e == energy.id and charge is Charge.LIVE and part not in parts:
                parts.append(part)
            if e == energy.id and charge is Charge.TRAPPED:
                trapped.append(part)
        parts = [n for n in unit.parts if n in parts and unit.parts[n].label not in ends]
        if parts:
            at = words.listed(unit.parts[n].label for n in parts)
            line = (
                say(
                    "{energy} is live at the {parts}, up to the {isolators}.",
                    energy=energy.name,
                    parts=at,
                    isolators=words.listed(ends),
                )
                if ends
                else say(
                    "{energy} is live at the {parts}; nothing isolates it.", energy=energy.name, parts=at
                )
            )
            found.append(words.capital(line))
        if trapped:
            names = words.listed(unit.parts[n].label for n in unit.parts if n in trapped)
            line = say("{energy} is cut off but still in the {parts}.", energy=energy.name, parts=names)
            found.append(words.capital(line))
    if worst is None:
        found.append(say("The proof did not reach this step: take every part as live."))
    return tuple(found)

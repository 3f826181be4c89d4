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
        size = show_text(energy.normal, shows) or "size not stated"
        kind = words.FORMS[energy.form]
        said = words.capital(energy.name)
        said = said if kind.startswith(energy.name) else f"{said} ({kind})"
        places = [
            (
                f"{words.capital(part.label)}: {words.off_word(part)}",
                part.text("place") or "place not stated",
                words.lock(part, locked=part.id in locked),
                part.id,
            )
            for part in cut
        ]
        if not places:
            places = [("Not brought in yet" if energy.brought else "No isolator is used", "—", "—", "")]
        zero = show_text(energy.safe, shows) or "not stated"
        for n, (isolator, place, lock, name) in enumerate(places):
            whole = (relieved, verified, normal) if n == 0 else ("as above",) * 3
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
            said.append(f"open {part.label}" + (f" (to {to})" if to else ""))
        elif act.verb == "discharge" and (energy.form not in FLUIDS or energy.id in part.keeps):
            said.append(f"discharge {part.label}")
            waits += (
                f"at least {show_text(least, shows)} for the {of.label}"
                for of, e, least in least_waits(act, network)
                if e == energy.id
            )
        elif act.verb == "flush" and energy.form is Form.CHEMICAL:
            said.append(f"flush {part.label}")
    if said:
        wait = f"; wait {words.listed(dict.fromkeys(waits))}" if waits else ""
        return words.listed(dict.fromkeys(said)) + wait
    if energy.form not in KEPT_BY_ALL and not network.stores & on_line:
        return "nothing is stored: gone when the isolator is off"
    return "NOT RELIEVED in this procedure"


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
            said.setdefault(f"no more flow at {by.label}", []).append(unit.parts[act.part].name)
    normal = "; ".join(dict.fromkeys(usual)) or show_text(energy.normal, shows) or "not stated"
    if said:
        return "; ".join(
            f"{name} (for {words.listed(dict.fromkeys(at))})" for name, at in said.items()
        ), normal
    opened = {(part, e) for part, e in met(network, exposed(plan)) if part in exposed(plan)}
    if any(e == energy.id for _, e in opened):
        return "NOT VERIFIED in this procedure", normal
    return f"not measured: no part with {energy.name} is opened", normal


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
        size = f", {show_text(energy.normal, shows)}," if energy.normal else ""
        where = words.listed(network.unit.parts[name].label for name in at)
        said.append(f"{energy.name}{size}" + (f" at the {where}" if where else ""))
    return (
        f"These stay live during this job, and no step touches them: {'; '.join(said).rstrip(',')}."
        if said
        else ""
    )


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
            line = f"{words.capital(energy.name)} is live at the {at}"
            line += f", up to the {words.listed(ends)}" if ends else "; nothing isolates it"
            found.append(line + ".")
        if trapped:
            names = words.listed(unit.parts[n].label for n in unit.parts if n in trapped)
            found.append(f"{words.capital(energy.name)} is cut off but still in the {names}.")
    if worst is None:
        found.append("The proof did not reach this step: take every part as live.")
    return tuple(found)

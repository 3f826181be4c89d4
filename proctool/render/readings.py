"""What a step measures: how long it lasts, within which limits a reading lies, where it is written down."""

from __future__ import annotations

from collections.abc import Mapping

from proctool.model.plan import Step, StepKind
from proctool.model.quantity import dimension, parse_range, show_text
from proctool.model.unit import Part
from proctool.network.reach import Network
from proctool.render.grid import Pair
from proctool.render.manual import Blank
from proctool.render.meeting import least_waits

Shows = Mapping[str, tuple[str, ...]]
"""For each kind of quantity the measures shown, the one that is read first."""


def limits(step: Step, parts: Mapping[str, Part]) -> str:
    """What the reading of a step must lie within, as written; empty where nothing says it."""
    gauge = parts.get(step.gauge or "")
    usual = gauge.usual if gauge is not None and step.kind is StepKind.READ else None
    return step.limits or usual or ""


def facts(step: Step, network: Network, shows: Shows) -> tuple[Pair, ...]:
    """How long a step lasts at least, and what is read at its end."""
    found: list[Pair] = []
    parts = network.unit.parts
    gauge = parts.get(step.gauge or "")
    if step.lasts:
        least = "at least " if step.kind is StepKind.WAIT else ""
        found.append(Pair("Duration", least + show_text(step.lasts, shows)))
    for act in step.acts:
        for part, energy, least in least_waits(act, network):
            name = network.unit.energies[energy].name
            found.append(
                Pair("Least wait", f"{show_text(least, shows)} for {name} to leave the {part.label}")
            )
    within = show_text(limits(step, parts), shows)
    if gauge is not None and step.kind is StepKind.WAIT:
        found.append(Pair("Until", f"{gauge.label} reads {within or 'the value above'}"))
    elif within:
        found.append(Pair("Must be", within + (f" on {gauge.label}" if gauge is not None else "")))
    return tuple(dict.fromkeys(found))


def blanks(step: Step, parts: Mapping[str, Part], shows: Shows) -> tuple[Blank, ...]:
    """The fields to fill in beside a step."""
    if step.kind is StepKind.READ:
        return (Blank("Reading", measure(limits(step, parts) or _span(parts.get(step.gauge or "")), shows)),)
    if step.kind is StepKind.WAIT:
        read = (Blank("Reading", measure(limits(step, parts), shows)),) if step.gauge else ()
        return (Blank("Start"), Blank("End"), *read)
    return ()


def measure(written: str, shows: Shows) -> str:
    """The measure in which a range is read; empty where the text says none."""
    found = parse_range(written)
    if isinstance(found, str) or not found.measure:
        return ""
    return next(iter(shows.get(dimension(found.measure), ())), found.measure)


def _span(gauge: Part | None) -> str:
    return (gauge.text("span") or "") if gauge is not None else ""

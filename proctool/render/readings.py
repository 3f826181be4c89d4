"""What a step measures: how long it lasts, within which limits a reading lies, where it is written down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from proctool.model.plan import Step, StepKind
from proctool.model.quantity import Range, dimension, parse_range, show_range, show_text
from proctool.model.unit import Part
from proctool.network.reach import Network
from proctool.render.grid import Pair
from proctool.render.item import Blank, Scale
from proctool.render.meeting import least_waits
from proctool.render.speech import say

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
        time = show_text(step.lasts, shows)
        said = say("at least {time}", time=time) if step.kind is StepKind.WAIT else time
        found.append(Pair(say("Duration"), said))
    for act in step.acts:
        for part, energy, least in least_waits(act, network):
            name = network.unit.energies[energy].name
            said = say(
                "{time} for {energy} to leave the {part}",
                time=show_text(least, shows),
                energy=name,
                part=part.label,
            )
            found.append(Pair(say("Least wait"), said))
    within = show_text(limits(step, parts), shows)
    if gauge is not None and step.kind is StepKind.WAIT:
        said = (
            say("{gauge} reads {value}", gauge=gauge.label, value=within)
            if within
            else say("{gauge} reads the value above", gauge=gauge.label)
        )
        found.append(Pair(say("Until"), said))
    elif within and gauge is not None:
        found.append(Pair(say("Must be"), say("{value} on {gauge}", value=within, gauge=gauge.label)))
    elif within:
        found.append(Pair(say("Must be"), within))
    return tuple(dict.fromkeys(found))


def blanks(step: Step, parts: Mapping[str, Part], shows: Shows) -> tuple[Blank, ...]:
    """The fields to fill in beside a step."""
    within = limits(step, parts)
    if step.kind is StepKind.READ:
        return (reading(within, shows) if within else _unlimited(parts.get(step.gauge or ""), shows),)
    if step.kind is StepKind.WAIT:
        return (Blank(say("Start")), Blank(say("End")), *((reading(within, shows),) if step.gauge else ()))
    return ()


def reading(within: str, shows: Shows, label: str = "") -> Blank:
    """The field of a reading that must lie within a range; one of bare words where that says none."""
    return Blank(label or say("Reading"), measure(within, shows), scales(within, shows))


def _unlimited(gauge: Part | None, shows: Shows) -> Blank:
    span = (gauge.text("span") or "") if gauge is not None else ""
    unlimited = tuple(replace(scale, low="", high="") for scale in scales(span, shows))
    return Blank(say("Reading"), measure(span, shows), unlimited)


def measure(written: str, shows: Shows) -> str:
    """The measure in which a range is read; empty where the text says none."""
    found = parse_range(written)
    if isinstance(found, str) or not found.measure:
        return ""
    return next(iter(shows.get(dimension(found.measure), ())), found.measure)


def scales(written: str, shows: Shows) -> tuple[Scale, ...]:
    """The measures a reading may be written in, each with its limits as the page prints them."""
    found = parse_range(written)
    if isinstance(found, str):
        return ()
    every = (shows.get(dimension(found.measure), ()) if found.measure else ()) or (found.measure,)
    return tuple(_scale(found, measure) for measure in every)


def _scale(limits: Range, measure: str) -> Scale:
    told = parse_range(show_range(limits, (measure,)))
    if isinstance(told, str):
        raise ValueError(f"`{limits}` cannot be told in `{measure}`: {told}")
    low, high = (f"{end.value:f}" if end is not None else "" for end in (told.low, told.high))
    return Scale(measure, low, high)

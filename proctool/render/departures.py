"""Recorded deviations, as a manual shows them: in full once, and by place and date on every page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from proctool.render import words
from proctool.render.grid import Pair
from proctool.render.manual import Departure, Deviated
from proctool.render.speech import counted, say


def departures(deviations: Sequence[Deviated], numbers: Mapping[str, str]) -> tuple[Departure, ...]:
    """Each deviation in full. `numbers` has the number of each step by its path id."""
    return tuple(_departure(one, _number(one.step, numbers)) for one in deviations)


def named(deviations: Sequence[Deviated], numbers: Mapping[str, str]) -> str:
    """All of them in one line: where, and until when the first of them counts."""
    if not deviations:
        return ""
    places = list(dict.fromkeys(_place(_number(one.step, numbers)) for one in deviations))
    first = min(one.until for one in deviations)
    return counted(
        "Deviation: {places}. Not valid after {date}.",
        "{n} deviations: {places}. Not valid after {date}.",
        len(deviations),
        places=words.listed(places),
        date=first,
    )


def _departure(one: Deviated, number: str) -> Departure:
    return Departure(
        place=words.capital(_place(number)),
        target=words.anchor(number) if number else "",
        message=one.message,
        entries=(
            Pair(say("Why"), one.why or say("not stated")),
            Pair(say("Do this instead"), one.instead or say("not stated")),
            Pair(say("Granted by"), one.by or say("not stated")),
            Pair(say("Until"), one.until),
            Pair(say("Rule"), one.rule),
        ),
    )


def _place(number: str) -> str:
    return say("step {number}", number=number) if number else say("the whole procedure")


def _number(step: str | None, numbers: Mapping[str, str]) -> str:
    """The number of a step; of one that is not written out, that of the step it stands under."""
    while step:
        if step in numbers:
            return numbers[step]
        step = step.rpartition("/")[0]
    return ""

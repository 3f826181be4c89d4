"""Recorded deviations, as a manual shows them: in full once, and by place and date on every page."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from proctool.render import words
from proctool.render.grid import Pair
from proctool.render.manual import Departure, Deviated


def departures(deviations: Sequence[Deviated], numbers: Mapping[str, str]) -> tuple[Departure, ...]:
    """Each deviation in full. `numbers` has the number of each step by its path id."""
    return tuple(_departure(one, _number(one.step, numbers)) for one in deviations)


def named(deviations: Sequence[Deviated], numbers: Mapping[str, str]) -> str:
    """All of them in one line: where, and until when the first of them counts."""
    if not deviations:
        return ""
    places = list(dict.fromkeys(_place(_number(one.step, numbers)) for one in deviations))
    first = min(one.until for one in deviations)
    lead = "Deviation" if len(deviations) == 1 else f"{len(deviations)} deviations"
    return f"{lead}: {words.listed(places)}. Not valid after {first}."


def _departure(one: Deviated, number: str) -> Departure:
    return Departure(
        place=words.capital(_place(number)),
        target=words.anchor(number) if number else "",
        message=one.message,
        entries=(
            Pair("Why", one.why or "not stated"),
            Pair("Do this instead", one.instead or "not stated"),
            Pair("Granted by", one.by or "not stated"),
            Pair("Until", one.until),
            Pair("Rule", one.rule),
        ),
    )


def _place(number: str) -> str:
    return f"step {number}" if number else "the whole procedure"


def _number(step: str | None, numbers: Mapping[str, str]) -> str:
    """The number of a step; of one that is not written out, that of the step it stands under."""
    while step:
        if step in numbers:
            return numbers[step]
        step = step.rpartition("/")[0]
    return ""

"""What is said where a check fails: how it begins, and where work goes back to."""

from __future__ import annotations

from dataclasses import dataclass

from proctool.render.speech import fixed, say


@dataclass(frozen=True, slots=True)
class Lead:
    """How what is to be done when a check fails begins."""

    alone: str
    """Where no steps follow."""
    steps: str
    elsewhere: str
    """Where the steps are written out under another step."""
    times: str = ""
    """How often one has gone back by then, where it says so."""


READING = Lead(
    fixed("If the reading is outside:"),
    fixed("If the reading is outside, do {steps}:"),
    fixed("If the reading is outside, do {steps} now, as written out under step {number}."),
)
NOT_OK = Lead(
    fixed("If not OK:"),
    fixed("If not OK, do {steps}:"),
    fixed("If not OK, do {steps} now, as written out under step {number}."),
)
NO_HELP = Lead(
    fixed("If that does not help:"),
    fixed("If that does not help, do {steps}:"),
    fixed("If that does not help, do {steps} now, as written out under step {number}."),
)
STILL = Lead(
    fixed("If it is still not OK after going back {times}:"),
    fixed("If it is still not OK after going back {times}, do {steps}:"),
    fixed(
        "If it is still not OK after going back {times}, do {steps} now, as written out under step {number}."
    ),
)


def goes_back(number: str, often: str, *, after: bool) -> str:
    """Where work goes back to; `after` the steps that are done first, at most as often as is said."""
    if often and after:
        return say(
            "Then go back to step {number} and work on from there, at most {times}.",
            number=number,
            times=often,
        )
    if often:
        return say(
            "Go back to step {number} and work on from there, at most {times}.", number=number, times=often
        )
    if after:
        return say("Then go back to step {number} and work on from there.", number=number)
    return say("Go back to step {number} and work on from there.", number=number)

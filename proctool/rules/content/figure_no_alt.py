"""A figure says in words what it shows.

Why: A reader who cannot see the picture, on a torn page or by ear, gets the same instruction. And words tell
the writer whether the picture shows what it is there for.

Source: PDF/UA-1 (ISO 14289-1): a figure has a text alternative (read second hand).

Bad::

    steps:
      - do: Look at the arrow on the <housing>.
        figure: {file: figures/housing.svg}

Good::

    steps:
      - do: Look at the arrow on the <housing>.
        figure: {file: figures/housing.svg, alt: The filter housing with an arrow to the left.}
"""

from __future__ import annotations

from collections.abc import Iterator

from proctool.model.finding import Level
from proctool.model.plan import every_step
from proctool.rules.rule import Rule, Seen, UseSubject


def _check(subject: UseSubject) -> Iterator[Seen]:
    for step in every_step(subject.plan.frame):
        if step.figure is not None and not step.figure.alt.strip():
            yield Seen(
                step.figure.span,
                "Nothing says in words what this figure shows.",
                "Write `figure: {file: …, alt: …}`, with one sentence that could stand in its place.",
                step.id,
            )


RULE = Rule("content/figure-no-alt", page=__doc__, level=Level.WARNING, use=_check)

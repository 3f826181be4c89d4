"""A procedure carried over to another unit: which part stands for which, and what is left to a person."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from proctool.model.comparison import Comparison, Difference
from proctool.model.finding import Finding
from proctool.model.span import Span
from proctool.model.verdict import Judgement

OPEN_QUESTION = "adapt/open-question"
"""What findings of open questions go by. It is no rule of a check."""


class Ground(StrEnum):
    """On what a part of one unit is taken for one of another, the surest first."""

    ANSWER = "answer"
    ID = "id"
    NAME = "name and role"
    TAG = "tag and role"
    PLACE = "role and place"
    """The most neighbours on its lines that stand for one another."""


@dataclass(frozen=True, slots=True)
class Match:
    """A part of the first unit, and what stands for it on the second."""

    part: str
    to: str | None
    """None where nothing does, or where nothing tells which of several."""
    ground: Ground | None = None
    """None where it is open."""
    candidates: tuple[str, ...] = ()
    """What it could be, where that is open."""


@dataclass(frozen=True, slots=True)
class Feed:
    """A way by which an energy comes to an opened part past all that the first unit's procedure turns off."""

    energy: str
    part: str
    told: str
    """The way in words, from its source."""
    isolators: tuple[str, ...]
    """Those on it that the draft has off when the part is opened; none: it is not isolated."""
    locked: bool
    """Whether one of them is locked."""


@dataclass(frozen=True, slots=True)
class Question:
    """What only a person can answer."""

    name: str
    """What an answers file calls it: `part second`, `time`, `figure figures/ring.svg`."""
    text: str
    span: Span
    """Where in the first procedure's file it arises."""
    choices: tuple[str, ...] = ()
    """What it can be answered with; anything, where there are none."""
    blocking: bool = True
    """Whether the draft cannot be right without it."""
    answerable: bool = True
    """Whether a word settles it; else the draft, or the procedure, is to be mended."""


@dataclass(frozen=True, slots=True)
class Adapted:
    """The draft and all there is to say about it."""

    procedure: str
    name: str
    """The draft's own."""
    source: str
    unit: str
    file: str
    """Path of the draft in the library."""
    text: str
    """The draft itself."""
    judgement: Judgement
    matches: tuple[Match, ...]
    """Of the parts that the procedure names."""
    feeds: tuple[Feed, ...]
    questions: tuple[Question, ...]
    """Those that no answer settles."""
    open: tuple[Finding, ...]
    """The same at their places in the draft, and what checking the draft finds."""
    differences: tuple[Difference, ...]
    """Of the units."""
    comparison: Comparison
    """Of the procedure on the first unit with the draft on the second."""

"""Steps on their way to a frame: flat, but with their order and their `otherwise` still as written."""

from __future__ import annotations

from dataclasses import dataclass, field

from proctool.model.plan import Act, Filled, Need, Picture, StepKind
from proctool.model.procedure import WrittenOtherwise
from proctool.model.span import Span
from proctool.model.unit import Danger
from proctool.resolve.scope import Scope


@dataclass(slots=True)
class StepList:
    """One list of steps: its entries, what names them, and the list around it in the same frame."""

    around: StepList | None
    children: list[Child] = field(default_factory=list)
    named: dict[str, list[int]] = field(default_factory=dict)
    """For each id the entries of this list that carry it."""
    copies: dict[str, tuple[int, int]] = field(default_factory=dict)
    """For the copies of an `each` without id: the place of the `each`, and the steps of the copy."""

    @property
    def mask(self) -> int:
        """All steps of the list, as a mask over the frame."""
        result = 0
        for child in self.children:
            result |= child.mask
        return result

    def steps_of(self, name: str) -> int | None:
        """The steps that an id of this list stands for, or None where there is no such id."""
        if name in self.copies:
            return self.copies[name][1]
        if name not in self.named:
            return None
        result = 0
        for place in self.named[name]:
            result |= self.children[place].mask
        return result


@dataclass(slots=True)
class Child:
    """One entry of a list: a step, a list inside, or nothing."""

    span: Span
    name: str = ""
    mask: int = 0
    inner: StepList | None = None
    before: int = 0
    """Entries of the same list that come before it, as a mask."""
    before_copies: list[tuple[int, int]] = field(default_factory=list)
    """Single copies that come before it: the entry they are copies of, and their steps."""


@dataclass(frozen=True, slots=True)
class Duty:
    """An `otherwise` and the place where it is written."""

    written: WrittenOtherwise
    scope: Scope
    place: StepList


@dataclass(slots=True)
class Draft:
    """One step of a frame."""

    id: str
    kind: StepKind
    text: str
    span: Span
    place: StepList
    scope: Scope
    acts: tuple[Act, ...] = ()
    needs: tuple[Need, ...] = ()
    makes: tuple[tuple[str, str], ...] = ()
    duty: Duty | None = None
    may_fail: bool = False
    once: bool = False
    dangers: tuple[Danger, ...] = ()
    notes: tuple[str, ...] = ()
    figure: Picture | None = None
    hold: str | None = None
    lasts: str | None = None
    limits: str | None = None
    gauge: str | None = None
    heading: tuple[str, ...] = ()
    filled: tuple[Filled, ...] = ()
    using: tuple[str, ...] = ()


@dataclass(slots=True)
class Around:
    """What a group says of all its steps: needs before its first, what is made true after its last."""

    mask: int
    span: Span
    needs: tuple[Need, ...]
    makes: tuple[tuple[str, str], ...]
    dangers: tuple[Danger, ...]
    notes: tuple[str, ...]


@dataclass(slots=True)
class DraftFrame:
    """A frame while it is built."""

    steps: list[Draft] = field(default_factory=list)
    around: list[Around] = field(default_factory=list)
    free: list[tuple[str, Span, StepList]] = field(default_factory=list)
    """Lists whose entries have no order among themselves."""

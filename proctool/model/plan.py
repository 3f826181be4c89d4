"""A procedure resolved for one unit: flat steps with path ids, and the order among them.

The main list of a procedure, the steps of each `otherwise` and those of each `then` are *frames*: flat lists
with an order of their own. While a frame of an `otherwise` runs, nothing else does.
"""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, field
from enum import StrEnum

from proctool.model.span import Span
from proctool.model.unit import Danger, Unit


class StepKind(StrEnum):
    """What a step asks of the technician."""

    DO = "do"
    CHECK = "check"
    READ = "read"
    WAIT = "wait"


@dataclass(frozen=True, slots=True)
class Act:
    """One plain act. `part` is a part's id, or empty for acts on people."""

    verb: str
    part: str
    span: Span
    by: str | None = None
    """Gauge or vent that shows zero."""
    energy: str | None = None
    """The energy that a dose brings in, or that a check of zero is for."""
    what: str = ""
    """Who is told; what is fitted, removed, cleaned or lubricated."""


@dataclass(frozen=True, slots=True)
class Need:
    """What must hold before a step: a part's or condition's name, and one word."""

    name: str
    word: str
    span: Span


@dataclass(frozen=True, slots=True)
class Picture:
    """A figure of a step: its file in the library, and its text alternative."""

    file: str
    alt: str
    span: Span


@dataclass(frozen=True, slots=True)
class Continue:
    """Go on after the check."""


@dataclass(frozen=True, slots=True)
class EndHere:
    """Stop the job. `text` says what to do."""

    text: str
    span: Span | None = field(default=None, compare=False)
    """Where the text stands; None where nothing is written."""


@dataclass(frozen=True, slots=True)
class BackTo:
    """Go back: in the frame `levels` up, the steps in `undone` count as not done."""

    target: str
    """The id of what is gone back to, as written."""
    levels: int
    """0: the frame of the check itself; 1: the frame around it; and so on."""
    undone: int
    """Bit mask over the steps of that frame."""
    at_most: int | None = None
    then: Otherwise | None = None
    span: Span | None = field(default=None, compare=False)
    """Where the target is written."""


@dataclass(frozen=True, slots=True)
class Otherwise:
    """What happens when a check fails."""

    frame: Frame
    ending: Continue | EndHere | BackTo


@dataclass(frozen=True, slots=True)
class Filled:
    """A stretch of a step's text that a `<name>` was filled with."""

    start: int
    end: int
    part: str | None
    """The part that stands there by name; None for a property, a tool, a quantity."""
    thing: str | None = None
    """The name of the library's tool, supply or protective equipment that stands there."""


@dataclass(frozen=True, slots=True)
class Step:
    """One resolved step."""

    id: str
    kind: StepKind
    text: str
    """Filled text, CommonMark; never empty."""
    span: Span
    acts: tuple[Act, ...] = ()
    needs: tuple[Need, ...] = ()
    makes: tuple[tuple[str, str], ...] = ()
    otherwise: Otherwise | None = None
    """None for steps that cannot fail."""
    once: bool = False
    dangers: tuple[Danger, ...] = ()
    notes: tuple[str, ...] = ()
    figure: Picture | None = None
    hold: str | None = None
    """Who signs before work goes on."""
    lasts: str | None = None
    """`for` of a check, or the duration of a wait, as written."""
    limits: str | None = None
    """What a reading must lie within, as written."""
    gauge: str | None = None
    """The gauge a `read` step reads, or that ends a wait."""
    heading: tuple[str, ...] = ()
    """Titles of the groups around it, outermost first."""
    filled: tuple[Filled, ...] = ()
    """What stands in its text for a `<name>`, in order."""
    using: tuple[str, ...] = ()
    """Names of the library's things in `using`, of the step or of a group around it."""

    @property
    def may_fail(self) -> bool:
        """Whether both outcomes are explored."""
        return self.otherwise is not None

    @property
    def names(self) -> tuple[str, ...]:
        """The parts that its text names with `<name>`, each once, in order."""
        return tuple(dict.fromkeys(stretch.part for stretch in self.filled if stretch.part is not None))

    @property
    def things(self) -> tuple[str, ...]:
        """The library's tools, supplies and protective equipment that it uses, each once, by name."""
        told = (stretch.thing for stretch in self.filled if stretch.thing is not None)
        return tuple(dict.fromkeys((*told, *self.using)))


@dataclass(frozen=True, slots=True)
class FreeGroup:
    """Steps that the graph leaves without an order among themselves, for messages."""

    id: str
    span: Span
    steps: int
    """Mask over the frame's steps."""


@dataclass(frozen=True, slots=True)
class Frame:
    """A flat list of steps and its order."""

    steps: tuple[Step, ...]
    before: tuple[int, ...]
    """For each step the mask of all steps that come before it in every order."""
    free: tuple[FreeGroup, ...] = ()

    def followers(self, mask: int) -> int:
        """The steps in `mask` and all that follow any of them."""
        result = mask
        for i, earlier in enumerate(self.before):
            if earlier & mask:
                result |= 1 << i
        return result


@dataclass(frozen=True, slots=True)
class Plan:
    """A procedure for one unit, ready to be proven and rendered."""

    procedure: str
    title: str
    unit: Unit
    frame: Frame
    span: Span
    """Where the procedure's name stands."""
    conditions: ReadOnly[str, tuple[str, ...]]
    """Each condition's values, the first of them true at the start."""
    starts: ReadOnly[str, tuple[str, ...]]
    """Parts found in another than their normal state, and the words that say it."""
    leaves: ReadOnly[str, tuple[str, ...]]
    """Parts that shall be left in another than their normal state."""
    opens: tuple[str, ...] = ()
    facts: Facts | None = None


@dataclass(frozen=True, slots=True)
class Revision:
    """One line of the list of revisions."""

    number: str
    date: str
    by: str
    why: str


@dataclass(frozen=True, slots=True)
class Facts:
    """What a manual says of a procedure besides its steps, as written."""

    library: str
    language: str
    time: str
    people: tuple[str, ...]
    ppe: tuple[str, ...]
    """What the steps name; all that the library has where they name none."""
    tools: tuple[str, ...]
    supplies: tuple[str, ...]
    due: tuple[str, ...]
    """A table is named as `table NAME`."""
    revisions: tuple[Revision, ...]
    number: str = ""
    """The document number; empty where the procedure has none."""
    shows: ReadOnly[str, tuple[str, ...]] = field(default_factory=dict)
    """For each kind of quantity the measures shown: the first is read, the others stand in brackets."""
    used: tuple[str, ...] = ()
    """Names of the library's things that texts or `using` name anywhere in it."""
    disposal: tuple[str, ...] = ()
    """How each supply that is used is got rid of, where the library says it."""
    locks: str = ""
    """Who answers for the group lock; `each` where everyone locks every isolator; empty where unsaid."""


def every_step(frame: Frame) -> tuple[Step, ...]:
    """The steps of a frame, each followed by those of its `otherwise` and `then`, in file order."""
    found: list[Step] = []

    def visit(frame: Frame) -> None:
        for step in frame.steps:
            found.append(step)
            otherwise = step.otherwise
            while otherwise is not None:
                visit(otherwise.frame)
                ending = otherwise.ending
                otherwise = ending.then if isinstance(ending, BackTo) else None

    visit(frame)
    return tuple(found)

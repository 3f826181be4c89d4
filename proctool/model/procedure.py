"""Procedures, blocks and the library as written: records over the nodes of their files.

Names are not looked up here, sets not computed, texts not filled: that is resolving, for one unit.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from proctool.model.document import Mapping, Node, Scalar
from proctool.model.plan import Revision
from proctool.model.span import Span


class EntryKind(StrEnum):
    """What an entry of a list of steps is."""

    DO = "do"
    CHECK = "check"
    READ = "read"
    WAIT = "wait"
    USE = "use"
    EACH = "each"
    ANY_ORDER = "any_order"
    GROUP = "group"
    ACTS = "acts"


@dataclass(frozen=True, slots=True)
class WrittenAct:
    """An act key of a step, or one item of its `acts`."""

    verb: Scalar
    value: Node


@dataclass(frozen=True, slots=True)
class WrittenOtherwise:
    """`otherwise` or `then`: steps, then one ending."""

    span: Span
    entries: tuple[Entry, ...]
    back_to: Scalar | None = None
    end_here: Scalar | None = None
    at_most: int | None = None
    then: WrittenOtherwise | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a list of steps."""

    kind: EntryKind
    span: Span
    """Where its first key stands."""
    text: Scalar | None = None
    """Of `do` and `check`; `what` of a `read`."""
    id: Scalar | None = None
    title: Scalar | None = None
    after: tuple[Scalar, ...] | None = None
    when: Mapping | None = None
    acts: tuple[WrittenAct, ...] = ()
    needs: Mapping | None = None
    makes: Mapping | None = None
    warn: tuple[Scalar, ...] = ()
    notes: tuple[Scalar, ...] = ()
    using: tuple[Scalar, ...] = ()
    figure: Mapping | None = None
    hold: Scalar | None = None
    once: bool = False
    otherwise: WrittenOtherwise | None = None
    lasts: Scalar | None = None
    """`for` of a check; the duration of a `wait`."""
    until: Mapping | None = None
    gauge: Scalar | None = None
    """What a `read` reads."""
    within: Scalar | None = None
    block: Scalar | None = None
    given: Mapping | None = None
    """`with` of a `use`."""
    sets: tuple[tuple[Scalar, Node], ...] = ()
    """Names of an `each` and their sets, the last turning fastest."""
    only: Mapping | None = None
    any_order: bool = False
    """`order: any` of an `each`."""
    reversed: bool = False
    also_off: tuple[Scalar, ...] = ()
    entries: tuple[Entry, ...] = ()
    """Of an `each`, an `any_order`, a group."""


@dataclass(frozen=True, slots=True)
class Block:
    """A shared group of steps."""

    name: str
    title: str
    takes: tuple[Scalar, ...]
    entries: tuple[Entry, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Deviation:
    """A recorded, dated exception from a rule at a step or a part."""

    rule: Scalar
    step: str | None
    """A resolved step, or a group with all its steps."""
    part: str | None
    why: str
    instead: str
    by: str
    until: str


@dataclass(frozen=True, slots=True)
class Locks:
    """How several people lock: everyone each isolator, or everyone a group lock that one answers for."""

    span: Span
    responsible: Scalar | None = None
    """Who answers for the group lock; None where everyone locks every isolator."""


@dataclass(frozen=True, slots=True)
class Inspection:
    """One inspection of a procedure as people use it."""

    span: Span
    date: str
    by: str
    of: tuple[str, ...]
    """The people who were seen using it."""
    unit: str
    """The machine it was used on."""


@dataclass(frozen=True, slots=True)
class Procedure:
    """A procedure as written."""

    name: str
    title: str
    span: Span
    """Where its name stands."""
    units: tuple[Scalar, ...]
    """Families or models."""
    entries: tuple[Entry, ...]
    opens: tuple[Scalar, ...] = ()
    conditions: tuple[tuple[Scalar, tuple[str, ...]], ...] = ()
    dangers: Mapping | None = None
    starts: Mapping | None = None
    leaves: Mapping | None = None
    time: Scalar | None = None
    people: tuple[Scalar, ...] = ()
    """One name for each person."""
    locks: Locks | None = None
    due: tuple[str, ...] = ()
    revisions: tuple[Revision, ...] = ()
    number: str = ""
    """Document number."""
    inspections: tuple[Inspection, ...] = ()
    deviations: tuple[Deviation, ...] = ()
    tables: tuple[tuple[Scalar, Mapping], ...] = ()


@dataclass(frozen=True, slots=True)
class WrittenRule:
    """A rule over runs: `before` with `first`, `after` with `must`, or `never`, perhaps `between` two."""

    name: Scalar
    """The id of a house rule; of a profile's, the rule it is of."""
    say: str
    matchers: tuple[tuple[Scalar, Mapping], ...]
    """The maps of `before`, `first`, `after`, `must`, `never` by key."""
    between: tuple[Mapping, ...] = ()
    lockout: bool = False
    """Whether it is asked only of units under lockout."""


@dataclass(frozen=True, slots=True)
class Profile:
    """What one kind of work asks for, laid over the profile it stands on."""

    name: Scalar
    based_on: Scalar | None
    levels: tuple[tuple[Scalar, Scalar], ...]
    order: tuple[tuple[Scalar, ...], ...] = ()
    """The order of control: phases, those in one group without an order among them."""
    sequences: tuple[WrittenRule, ...] = ()


@dataclass(frozen=True, slots=True)
class Thing:
    """A tool or a supply of the library, with all that the file says of it."""

    key: Scalar
    name: str
    part_number: str = ""
    approval: str = ""
    touches: str = ""
    disposal: str = ""
    gives_off: tuple[tuple[Scalar, Scalar], ...] = ()
    """The most of each substance that it leaves in what it touches."""

    @property
    def label(self) -> str:
        """What manuals call it: its name, and the number it is ordered by."""
        return f"{self.name} {self.part_number}".rstrip()


@dataclass(frozen=True, slots=True)
class LibraryFile:
    """What `library.yaml` says."""

    name: str
    span: Span
    language: str = "en"
    shows: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """For each dimension the measures shown: the first is read, the others stand in brackets."""
    people: dict[str, str] = field(default_factory=dict)
    ppe: dict[str, str] = field(default_factory=dict)
    tools: dict[str, str] = field(default_factory=dict)
    supplies: dict[str, str] = field(default_factory=dict)
    things: tuple[Thing, ...] = ()
    """The tools and supplies with all that is said of them."""
    conditions: tuple[tuple[Scalar, tuple[str, ...]], ...] = ()
    dangers: Mapping | None = None
    sentences: Mapping | None = None
    profile: Scalar | None = None
    levels: tuple[tuple[Scalar, Scalar], ...] = ()
    words: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """What the library adds to the lists of words of its language."""
    second_signature: str = ""
    """Where a second person signs: `critical`, or nowhere."""
    house_rules: tuple[WrittenRule, ...] = ()

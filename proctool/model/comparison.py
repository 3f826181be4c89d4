"""Two procedures side by side, each on a unit: what differs in the steps, and in what is proven of them."""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, field
from enum import StrEnum

from proctool.model.plan import Plan
from proctool.model.rows import Table
from proctool.model.verdict import Charge, Judgement, Proof


class Safety(StrEnum):
    """Whether what is proven of the second is less, more, other than or the same as what is of the first."""

    WORSE = "worse"
    BETTER = "better"
    DIFFERENT = "different"
    SAME = "same"


@dataclass(frozen=True, slots=True)
class Broken:
    """A rule that is broken at a step on a part; `step` is None at the end of the procedure."""

    rule: str
    step: str | None
    part: str
    message: str
    proof: bool
    """Whether it is the proof that finds it, or a rule over plan, texts or tables."""


@dataclass(frozen=True, slots=True)
class Side:
    """One of the two."""

    name: str
    """As it was asked for: `HEAD~1:change-cartridges@KW-4`."""
    judgement: Judgement
    plan: Plan | None
    """None where it could not be resolved; then nothing but `broken` is known of it."""
    proof: Proof | None
    broken: tuple[Broken, ...]
    tables: tuple[Table, ...] = ()
    critical: frozenset[str] | None = None
    """Ids of the critical steps; None where nobody asked, or where it is not proven."""
    figures: ReadOnly[str, str] = field(default_factory=dict)
    """The fingerprint of each picture, by its file; none of what cannot be shown."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that is said otherwise, in words; empty on the side where it is not said."""

    name: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class Pair:
    """A step of both, or of one; places count all steps, those of every `otherwise` included, from 0."""

    was: int | None
    now: int | None
    differences: tuple[Difference, ...] = ()
    moved: bool = False
    """Whether it stands elsewhere among the steps of both."""


@dataclass(frozen=True, slots=True)
class Barring:
    """What keeps one energy away when a part is opened first, in file order with every check passing."""

    part: str
    """The part that is opened, or one in its `near` with its electricity."""
    energy: str
    charge: Charge
    isolators: tuple[str, ...]
    """Those off that the danger reach of the part arrives at."""
    locked: tuple[str, ...]
    vents: tuple[str, ...]
    """Open ways out in its sure reach."""
    verified_by: tuple[str, ...]
    """Gauges and vents at which its zero was verified before."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Steps of both after which the same parts hold another charge than they did."""

    parts: tuple[str, ...]
    energy: str
    was: Charge
    now: Charge
    steps: tuple[str, ...]
    """Ids as the second has them."""


@dataclass(frozen=True, slots=True)
class Comparison:
    """All that differs between two sides. Parts and steps go by the names that the second side has."""

    old: Side
    new: Side
    safety: Safety
    reasons: tuple[str, ...]
    """What is not the same, the gravest first, each a clause for one line."""
    pairs: tuple[Pair, ...] = ()
    """Every step once: those of the second in file order, those of the first alone where they stood."""
    order: tuple[str, ...] = ()
    """What waits for what no longer, or newly, in words."""
    broken: tuple[Broken, ...] = ()
    mended: tuple[Broken, ...] = ()
    barrings: tuple[tuple[Barring | None, Barring | None], ...] = ()
    """Of each opened part and energy, where the two differ."""
    stretches: tuple[Stretch, ...] = ()
    critical: tuple[str, ...] = ()
    """Steps of the second that are critical and were not, or are new."""
    no_longer_critical: tuple[str, ...] = ()
    """Steps of the first."""
    unit: tuple[Difference, ...] = ()
    """What the two units, or the two states of one, differ in."""
    tables: tuple[Difference, ...] = ()


@dataclass(frozen=True, slots=True)
class Row:
    """One thing that differs, in words."""

    sign: str
    """`+` new, `-` gone, `~` otherwise, `!` worse, `=` as it was."""
    what: str
    was: str = ""
    now: str = ""
    more: tuple[Difference, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """What differs in one respect."""

    name: str
    """A short name, the same in every report: `rules`, `isolation`, `steps`."""
    heading: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """A comparison in words; whoever shows it only lays it out."""

    comparison: Comparison
    title: str
    headline: str
    """Whether the safety changed, and why, without its word."""
    sections: tuple[Section, ...]

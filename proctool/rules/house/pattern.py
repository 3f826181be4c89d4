"""Rules over runs as data: which moments a rule speaks of, and what it asks about them.

A run is a row of *moments*: each act of each step, in the order done, under the conditions that held before
the step; then, where a step makes conditions so, one moment at which they become so. *Matchers* fit moments.

The forms are patterns of Dwyer, Avrunin and Corbett, *Patterns in property specifications for finite-state
verification* (ICSE 1999): precedence, response, and absence, the last in the scope "after Q until R".
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from proctool.model.document import Scalar
from proctool.model.plan import Act
from proctool.model.span import Span
from proctool.model.unit import Part
from proctool.model.words import FORM_GROUPS, Position, Role
from proctool.network.reach import Network

Words = frozenset[str]
_ANY: Words = frozenset()

OPPOSITES: dict[str, Words] = {
    "isolate": frozenset({"throttle", "connect", "restore"}),
    "throttle": frozenset({"isolate", "connect", "restore"}),
    "connect": frozenset({"isolate", "throttle"}),
    "restore": frozenset({"isolate", "throttle"}),
    "lock": frozenset({"unlock"}),
    "unlock": frozenset({"lock"}),
    "vent": frozenset({"shut"}),
    "shut": frozenset({"vent"}),
    "open": frozenset({"close"}),
    "close": frozenset({"open"}),
    "uncover": frozenset({"cover"}),
    "cover": frozenset({"uncover"}),
    "stop": frozenset({"start"}),
    "start": frozenset({"stop"}),
    "tighten": frozenset({"loosen", "open"}),
    "loosen": frozenset({"tighten"}),
    "dose": frozenset({"flush"}),
    "flush": frozenset({"dose"}),
}
"""What undoes an act on the same part: what was done and undone does not hold any more."""


@dataclass(frozen=True, slots=True)
class Matcher:
    """What moments are meant: acts by what they are done to, or conditions. An empty set asks nothing.

    With a word about acts it fits acts, while its conditions hold. With conditions only it fits the moments
    at which they become so.
    """

    act: str | None = None
    parts: Words = _ANY
    """Ids or tags."""
    tags: Words = _ANY
    roles: Words = _ANY
    devices: Words = _ANY
    carries: Words = _ANY
    """Energies, forms, groups of forms."""
    by: Words = _ANY
    """Gauges or vents that show zero."""
    properties: tuple[tuple[str, Words], ...] = ()
    """Any other property of the part; one that the unit file does not say is `false`."""
    conditions: tuple[tuple[str, Words], ...] = ()
    shown: str = field(default="", compare=False)
    """As it is written."""

    @property
    def of_acts(self) -> bool:
        """Whether it speaks of acts."""
        return self.act is not None or bool(self.by) or self.of_parts

    @property
    def of_parts(self) -> bool:
        """Whether it asks for something of the part that is acted on."""
        words = self.parts, self.tags, self.roles, self.devices, self.carries, self.properties
        return any(words)

    def each_part(self) -> tuple[Matcher, ...]:
        """One matcher for each part that is named: where all of them are asked for."""
        if len(self.parts) < 2:
            return (self,)
        return tuple(replace(self, parts=frozenset({part})) for part in sorted(self.parts))

    def fits(self, net: Network, act: Act, *, surely: bool) -> bool:
        """Whether an act on a unit is meant, its conditions aside.

        An act on a thing inside some part is done to any part that has it; `surely` asks that all fit.
        """
        if self.act is not None and self.act not in verbs_of(net, act):
            return False
        if self.by and act.by not in self.by:
            return False
        if not self.of_parts:
            return self.act is not None or bool(self.by)
        within = parts_of(net, act)
        fitting = [self.fits_part(net, part, act) for part in within]
        return bool(within) and (all(fitting) if surely else any(fitting))

    def fits_part(self, net: Network, part: Part, act: Act | None = None) -> bool:
        """Whether a part is meant; with an act on one energy only that energy counts."""
        asked = (
            (self.parts, {part.id, part.tag}),
            (self.tags, {part.tag}),
            (self.roles, {part.role.value}),
            (self.devices, {part.device.value if part.device else None}),
            (self.carries, set(carried(net, part, act)) if self.carries else set()),
        )
        return all(not words or words & found for words, found in asked) and all(
            (part.text(name) or "false") in words for name, words in self.properties
        )


def verbs_of(net: Network, act: Act) -> tuple[str, ...]:
    """The plain words of an act: connecting to the normal position restores."""
    if act.verb == "connect" and net.unit.parts[act.part].normal is Position.ON:
        return ("connect", "restore")
    return (act.verb,)


def parts_of(net: Network, act: Act) -> tuple[Part, ...]:
    """The part that is acted on; for a thing inside a part that is not named, every part that has it."""
    if act.part:
        return (net.unit.parts[act.part],)
    return tuple(part for part in net.parts if act.what and act.what in part.properties)


def carried(net: Network, part: Part, act: Act | None) -> Iterable[str]:
    """The energies that a part carries, with their forms and groups of forms."""
    energies = net.energies_of(part.id)
    if act is not None and (energy := energy_of(net, act)) is not None:
        energies = tuple(e for e in energies if e == energy)
    for name in energies:
        form = net.unit.energies[name].form
        yield from (name, form.value)
        yield from (group for group, forms in FORM_GROUPS.items() if form in forms)


def energy_of(net: Network, act: Act) -> str | None:
    """The one energy that an act is about, or None: a dose names it, a check of zero has its gauge's."""
    by = net.unit.parts.get(act.by or "")
    return by.energy if by is not None and by.role is Role.GAUGE else act.energy


@dataclass(frozen=True, slots=True)
class Precedence:
    """Whenever `before` is done, each of `first` has been done and not been undone; conditions of it hold."""

    before: Matcher
    first: tuple[Matcher, ...]


@dataclass(frozen=True, slots=True)
class Response:
    """After `after`, each of `must` is done, at the latest at the end of the procedure, or `until` an act."""

    after: Matcher
    must: tuple[Matcher, ...]
    until: Matcher | None = None


@dataclass(frozen=True, slots=True)
class Absence:
    """`never` is not done, or does not hold, at all; or from the first of two moments to the second."""

    never: Matcher
    between: tuple[Matcher, Matcher] | None = None


Pattern = Precedence | Response | Absence


@dataclass(frozen=True, slots=True)
class Sequence:
    """A pattern with the rule that it is of, and how it is told."""

    rule: str
    name: Scalar
    """Where the rule is named."""
    say: str
    pattern: Pattern
    lockout: bool = False
    """Whether it is asked only where a unit is worked on under lockout."""

    @property
    def span(self) -> Span:
        """Where the rule stands."""
        return self.name.span

    @property
    def demand(self) -> Matcher:
        """The moments that the rule is about."""
        match self.pattern:
            case Precedence(before=demand) | Response(after=demand) | Absence(never=demand):
                return demand

    @property
    def matchers(self) -> tuple[Matcher, ...]:
        """All its matchers, what it is about first."""
        match self.pattern:
            case Precedence(before=demand, first=more) | Response(after=demand, must=more):
                return (demand, *more)
            case Absence(never=demand, between=between):
                return (demand, *(between or ()))

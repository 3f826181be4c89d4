"""What could be done at all on the units of a library: which rules mean nothing, which ones clash.

A *letter* is an act on a part of a unit, or a condition that gets a value. It is told from the units alone,
so a rule that no procedure happens to touch is not idle.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from proctool.model.document import Scalar
from proctool.model.plan import Act
from proctool.model.unit import Unit
from proctool.model.words import FREE_TEXT_ACTS, THING_ACTS, VERBS, Role
from proctool.network.kept import network_of
from proctool.rules.house.pattern import Absence, Matcher, Precedence, Response, Sequence

Letter = tuple[str, ...]
"""("act", unit, place in its alphabet), or ("made", condition, value)."""


class Alphabet:
    """Every letter of some units."""

    def __init__(self, units: Iterable[Unit], conditions: Iterable[tuple[Scalar, tuple[str, ...]]]) -> None:
        self._acts = [(network_of(unit), tuple(_acts(unit))) for unit in units]
        self.values = {name.text: values for name, values in conditions}
        self._known: dict[Matcher, frozenset[Letter]] = {}

    def letters(self, matcher: Matcher) -> frozenset[Letter]:
        """The letters that a matcher may mean; conditions beside an act narrow nothing here."""
        if matcher not in self._known:
            self._known[matcher] = frozenset(self._letters(matcher))
        return self._known[matcher]

    def _letters(self, matcher: Matcher) -> Iterator[Letter]:
        if not matcher.of_acts:
            yield from (
                ("made", name, word)
                for name, words in matcher.conditions
                for word in self.values.get(name, ())
                if word in words
            )
            return
        for net, acts in self._acts:
            for i, act in enumerate(acts):
                if matcher.fits(net, act, surely=True):
                    yield ("act", net.unit.id, str(i))

    def begins(self, matcher: Matcher) -> bool:
        """Whether a matcher of conditions holds from the start."""
        return not matcher.of_acts and all(
            self.values.get(name, ("",))[0] in words for name, words in matcher.conditions
        )


def _acts(unit: Unit) -> Iterator[Act]:
    """Every plain act on every part that takes it; a check of zero by everything that may show it."""
    showing = [part for part in unit.parts.values() if part.role in {Role.GAUGE, Role.VENT}]
    for verb in VERBS.values():
        if verb.name in FREE_TEXT_ACTS:
            yield Act(verb.name, "", unit.span)
        for part in unit.parts.values():
            if part.role not in verb.roles:
                continue
            yield Act(verb.name, part.id, unit.span)
            if verb.name == "verify_zero":
                yield from (Act(verb.name, part.id, unit.span, by=gauge.id) for gauge in showing)
        if verb.name in THING_ACTS:
            yield Act(verb.name, "", unit.span)


def idle(alphabet: Alphabet, rules: Iterable[Sequence]) -> Iterator[tuple[Sequence, Matcher]]:
    """Each rule with a matcher that nothing on any unit can be."""
    for rule in rules:
        for matcher in rule.matchers:
            if not alphabet.letters(matcher) and not alphabet.begins(matcher):
                yield rule, matcher
                break


@dataclass(frozen=True, slots=True)
class Clash:
    """A rule that cannot be kept beside others."""

    rule: Sequence
    others: tuple[Sequence, ...]


def clashes(alphabet: Alphabet, rules: tuple[Sequence, ...]) -> Iterator[Clash]:
    """Each rule that others keep from ever being kept.

    What can be done while all rules are kept is a least fixed point: a letter can be done once what its
    precedence rules ask for can. It is generous: what was done counts for ever, on every unit. So what is not
    in it can never be done rightly.
    """
    possible, forbidden = _possible(alphabet, rules), _forbidden(alphabet, rules)
    for rule in rules:
        demanded = alphabet.letters(rule.demand)
        match rule.pattern:
            case Precedence(first=needed) if demanded - forbidden and not demanded & possible:
                pass
            case Response(must=needed) if demanded & possible:
                pass
            case _:
                continue
        stuck = [m for m in needed if not alphabet.begins(m) and not alphabet.letters(m) & possible]
        others = tuple(
            other
            for other in rules
            if other is not rule and any(_stops(alphabet, other, m, possible) for m in stuck)
        )
        if others:
            yield Clash(rule, others)


def _possible(alphabet: Alphabet, rules: tuple[Sequence, ...]) -> frozenset[Letter]:
    letters = frozenset(x for rule in rules for m in rule.matchers for x in alphabet.letters(m))
    open_ = letters - _forbidden(alphabet, rules)
    precedences = [rule.pattern for rule in rules if isinstance(rule.pattern, Precedence)]
    done: frozenset[Letter] = frozenset()
    while True:
        now = frozenset(
            letter
            for letter in open_
            if all(
                _met(alphabet, form.first, done | {letter})
                for form in precedences
                if letter in alphabet.letters(form.before)
            )
        )
        if now <= done:
            return done
        done |= now


def _met(alphabet: Alphabet, first: tuple[Matcher, ...], done: frozenset[Letter]) -> bool:
    return all(alphabet.begins(m) or alphabet.letters(m) & done for m in first)


def _forbidden(alphabet: Alphabet, rules: Iterable[Sequence]) -> frozenset[Letter]:
    """What some rule forbids always and whatever the conditions."""
    return frozenset(
        letter
        for rule in rules
        if isinstance(rule.pattern, Absence) and rule.pattern.between is None
        if len(rule.demand.conditions) + rule.demand.of_acts == 1
        for letter in alphabet.letters(rule.demand)
    )


def _stops(alphabet: Alphabet, other: Sequence, needed: Matcher, possible: frozenset[Letter]) -> bool:
    """Whether another rule is what keeps a needed letter from being done."""
    letters = alphabet.letters(needed) & alphabet.letters(other.demand)
    match other.pattern:
        case Absence(between=None):
            return bool(letters)
        case Precedence(first=first):
            return bool(letters) and not _met(alphabet, first, possible)
    return False

"""Patterns compiled to monitors for one plan.

What releases (`first`, `must`, the second of `between`) counts only where the step did not fail and where it
is sure that it fits. What demands (`before`, `after`, `never`, the first of `between`) counts always.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from proctool.model.finding import Related
from proctool.model.monitor import Deed, Lapse, Memory, Monitor, Touch
from proctool.model.plan import Act, Plan, Step, every_step
from proctool.model.telling import deeds_of
from proctool.model.words import Control
from proctool.network.reach import Network
from proctool.rules.house.pattern import OPPOSITES, Absence, Matcher, Precedence, Response, Sequence, verbs_of

Touches = Callable[[Step], Touch]
Follow = Callable[[Memory, Deed], tuple[Memory, tuple[Lapse, ...]]]


@dataclass(frozen=True, slots=True)
class _Moment:
    """An act under conditions, or, without an act, conditions that become so."""

    act: Act | None
    made: frozenset[str]
    values: tuple[str, ...]


def monitor(plan: Plan, net: Network, rule: Sequence) -> Monitor | None:
    """The monitor of a rule, or None where no step of the plan is what the rule is about."""
    if rule.lockout and plan.unit.control is not Control.REQUIRED:
        return None
    watcher = _Watcher(plan, net, rule)
    # A condition that must never hold may do so from the start.
    standing = isinstance(rule.pattern, Absence) and not rule.demand.of_acts
    if not standing and not any(watcher.may_be(rule.demand, step) for step in every_step(plan.frame)):
        return None
    match rule.pattern:
        case Precedence() as pattern:
            return watcher.precedence(pattern)
        case Response() as pattern:
            return watcher.response(pattern)
        case Absence() as pattern:
            return watcher.absence(pattern)


class _Watcher:
    """What the monitor of one rule on one plan knows."""

    def __init__(self, plan: Plan, net: Network, rule: Sequence) -> None:
        self.plan, self.net, self.rule = plan, net, rule
        self.reads = tuple(sorted({name for m in rule.matchers for name, _ in m.conditions}))
        self.place = {name: i for i, name in enumerate(self.reads)}
        self._fitting: dict[tuple[int, int, bool], bool] = {}
        """By the identities of matcher and act, which rule, plan and `_deeds` keep alive."""
        self._deeds: dict[str, tuple[Act, ...]] = {}

    # -- moments

    def moments(self, deed: Deed) -> Iterator[_Moment]:
        """The moments of a step, in order."""
        for act in self.deeds(deed.step):
            yield _Moment(act, frozenset(), deed.before)
        made = frozenset(name for name, _ in deed.step.makes)
        if made and deed.passed is not False:
            yield _Moment(None, made, deed.after)

    def deeds(self, step: Step) -> tuple[Act, ...]:
        """What a step does, telling among it."""
        if step.id not in self._deeds:
            self._deeds[step.id] = deeds_of(step)
        return self._deeds[step.id]

    def holds(self, matcher: Matcher, values: tuple[str, ...]) -> bool:
        """Whether the conditions of a matcher hold."""
        return all(values[self.place[name]] in words for name, words in matcher.conditions)

    def fits(self, matcher: Matcher, moment: _Moment, *, surely: bool = False) -> bool:
        """Whether a moment is meant."""
        if not self.holds(matcher, moment.values):
            return False
        if not matcher.of_acts:
            return any(name in moment.made for name, _ in matcher.conditions)
        return moment.act is not None and self.is_act(matcher, moment.act, surely=surely)

    def is_act(self, matcher: Matcher, act: Act, *, surely: bool) -> bool:
        """Whether an act is meant, conditions aside."""
        key = id(matcher), id(act), surely
        if key not in self._fitting:
            self._fitting[key] = matcher.of_acts and matcher.fits(self.net, act, surely=surely)
        return self._fitting[key]

    def may_be(self, matcher: Matcher, step: Step) -> bool:
        """Whether some moment of a step may be meant."""
        if matcher.of_acts:
            return any(self.is_act(matcher, act, surely=False) for act in self.deeds(step))
        return any(name in {n for n, _ in step.makes} for name, _ in matcher.conditions)

    # -- one monitor for each form

    def precedence(self, pattern: Precedence) -> Monitor:
        """Memory: for each of `first` that is an act, the parts it was done to and not undone."""
        asked = [m for m in pattern.first if self._is_here(m)]

        def follow(memory: Memory, deed: Deed) -> tuple[Memory, tuple[Lapse, ...]]:
            held, lapses = list(memory), []
            for moment in self.moments(deed):
                for i, first in enumerate(asked):
                    held[i] = self._kept(first, held[i], moment, sure=deed.passed is not False)
                if self.fits(pattern.before, moment) and not all(
                    self._stands(first, held[i], moment, deed) for i, first in enumerate(asked)
                ):
                    lapses.append(self._lapse(moment))
            return tuple(held), tuple(lapses)

        def touches(step: Step) -> Touch:
            verbs = {m.act: OPPOSITES.get(m.act, frozenset()) for m in asked if m.act}
            undone = any(act.verb in undoing for act in step.acts for undoing in verbs.values())
            if undone or any(m.of_acts and self.may_be(m, step) for m in asked) or self._makes(step):
                return Touch.CHANGES
            return Touch.ASKS if self.may_be(pattern.before, step) else Touch.NOTHING

        return self._monitor(tuple(0 for _ in asked), touches, follow)

    def response(self, pattern: Response) -> Monitor:
        """Memory: which of `must` are owed. What pays comes after what it is owed for, not with it."""
        asked = [m for m in pattern.must if self._is_here(m)]
        everything = (1 << len(asked)) - 1

        def follow(memory: Memory, deed: Deed) -> tuple[Memory, tuple[Lapse, ...]]:
            owed, lapses = memory[0], []
            for moment in self.moments(deed):
                for i, must in enumerate(asked):
                    if deed.passed is not False and self.fits(must, moment, surely=True):
                        owed &= ~(1 << i)
                if owed and pattern.until is not None and self.fits(pattern.until, moment):
                    lapses.append(self._lapse(moment))
                    owed = 0
                if self.fits(pattern.after, moment):
                    owed = everything
            return (owed,), tuple(lapses)

        def touches(step: Step) -> Touch:
            until = () if pattern.until is None else (pattern.until,)
            counts = any(self.may_be(m, step) for m in (pattern.after, *asked, *until)) or self._makes(step)
            return Touch.CHANGES if counts else Touch.NOTHING

        last = [step for step in every_step(self.plan.frame) if self.may_be(pattern.after, step)][-1]
        lapse = Lapse(self.rule.say, self._help(), span=last.span, related=self._related())
        return self._monitor((0,), touches, follow, lapse)

    def absence(self, pattern: Absence) -> Monitor:
        """Memory: whether the scope stands open. A moment lies in it if it stood open when that began."""
        never = pattern.never

        def follow(memory: Memory, deed: Deed) -> tuple[Memory, tuple[Lapse, ...]]:
            inside, lapses = memory[0], []
            for moment in self.moments(deed):
                bad = bool(inside) and never.of_acts and self.fits(never, moment)
                inside = self._scope(pattern, inside, moment, sure=deed.passed is not False)
                if bad or (inside and not never.of_acts and self.holds(never, moment.values)):
                    lapses.append(self._lapse(moment))
            return (inside,), tuple(dict.fromkeys(lapses))

        def touches(step: Step) -> Touch:
            if any(self.may_be(m, step) for m in pattern.between or ()) or self._makes(step):
                return Touch.CHANGES
            asks = self.may_be(never, step) if never.of_acts else bool(step.acts or step.makes)
            return Touch.ASKS if asks else Touch.NOTHING

        return self._monitor((int(pattern.between is None),), touches, follow)

    # -- what they share

    def _scope(self, pattern: Absence, inside: int, moment: _Moment, *, sure: bool) -> int:
        if pattern.between is None:
            return inside
        opens, closes = pattern.between
        if inside and sure and self.fits(closes, moment, surely=True):
            return 0
        return 1 if self.fits(opens, moment) else inside

    def _kept(self, first: Matcher, held: int, moment: _Moment, *, sure: bool) -> int:
        """The parts that an act of `first` was done to, after one more moment; bit 0 is for no part."""
        act = moment.act
        if act is None or not first.of_acts:
            return held
        bit = 1 << (self.net.place[act.part] + 1 if act.part else 0)
        if sure and self.fits(first, moment, surely=True):
            return held | bit
        undoing = OPPOSITES.get(first.act or "", frozenset())
        return held & ~bit if undoing & set(verbs_of(self.net, act)) else held

    def _stands(self, first: Matcher, held: int, moment: _Moment, deed: Deed) -> bool:
        """Whether one of `first` holds at a moment; while a condition is made so, also before that."""
        if first.of_acts and not held:
            return False
        return self.holds(first, moment.values) and self.holds(first, deed.before)

    def _is_here(self, matcher: Matcher) -> bool:
        """Whether a unit has what a matcher names: a part it lacks is not asked for."""
        return not matcher.parts or any(
            matcher.parts & {part.id, part.tag} for part in self.plan.unit.parts.values()
        )

    def _makes(self, step: Step) -> bool:
        return any(name in self.place for name, _ in step.makes)

    def _lapse(self, moment: _Moment) -> Lapse:
        part = (moment.act.part or None) if moment.act is not None else None
        return Lapse(self.rule.say, self._help(), part, related=self._related())

    def _related(self) -> tuple[Related, ...]:
        """Where a rule of the company stands; one of a profile has a page."""
        if not self.rule.rule.startswith("house/"):
            return ()
        return (Related(self.rule.span, f"the rule `{self.rule.name.text}`"),)

    def _help(self) -> str:
        match self.rule.pattern:
            case Precedence(first=first):
                return f"In every order this must hold first: {_listed(first)}."
            case Response(must=must):
                return f"In every order this must follow, at the latest at the end: {_listed(must)}."
            case Absence(between=None):
                return "Take the step away, or do it otherwise."
            case Absence(between=(opens, closes)):
                return f"In every order keep it out from {opens.shown} to {closes.shown}."
        return ""

    def _monitor(self, start: Memory, touches: Touches, follow: Follow, owed: Lapse | None = None) -> Monitor:
        def at_end(memory: Memory) -> tuple[Lapse, ...]:
            return (owed,) if owed is not None and memory[0] else ()

        return Monitor(self.rule.rule, self.reads, start, touches, follow, at_end)


def _listed(matchers: tuple[Matcher, ...]) -> str:
    return " and ".join(dict.fromkeys(m.shown for m in matchers))

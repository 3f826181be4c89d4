"""The monitors of a case, and findings from what they caught."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, field

from proctool.model.document import Scalar
from proctool.model.finding import Finding, Level, Related
from proctool.model.monitor import Caught, Monitor, Watched
from proctool.model.plan import Plan, every_step
from proctool.model.procedure import LibraryFile, Profile, WrittenRule
from proctool.model.unit import Unit
from proctool.model.verdict import Proof
from proctool.network.reach import Network
from proctool.rules import air, closed, control, fitted, locks, stores, tester, tight
from proctool.rules.house.alphabet import Alphabet, clashes, idle
from proctool.rules.house.compile import monitor
from proctool.rules.house.pattern import Sequence
from proctool.rules.house.read import house_rules, names
from proctool.rules.levels import Levels
from proctool.rules.packs import RULES
from proctool.rules.profile import Practice, practice
from proctool.rules.rule import Rule

_OWN = tuple(rule for rule in RULES if rule.startswith("house/"))


@dataclass(frozen=True, slots=True)
class Watchlist:
    """What a library asks of runs: its profile's practice and its own rules."""

    practice: Practice = field(default_factory=Practice)
    house: tuple[Sequence, ...] = ()
    findings: tuple[Finding, ...] = field(default=(), compare=False)

    def monitors(self, plan: Plan, net: Network) -> Iterator[Monitor]:
        """The monitors of a case, rule by rule."""
        for rule in (*self.practice.sequences, *tester.sequences(plan), *self.house):
            compiled = monitor(plan, net, rule)
            if compiled is not None:
                yield compiled
        yield from control.monitors(plan, net, self.practice.order)
        yield from locks.monitors(plan)
        yield from stores.monitors(plan, net)
        yield from air.monitors(plan, net)
        yield from tight.monitors(plan, net)
        yield from closed.monitors(plan)
        yield from fitted.monitors(plan)


def named(written: Iterable[WrittenRule]) -> dict[str, Rule]:
    """The house rules of a library as rules, by id; those with faults too, so that levels may name them."""
    ids = (f"house/{rule.name.text}" for rule in written)
    return {name: Rule(name, page=None) for name in ids if name not in _OWN}


def watchlist(
    library: LibraryFile,
    profiles: ReadOnly[str, Profile],
    units: Iterable[Unit],
    levels: Levels,
    *,
    whole: bool,
) -> Watchlist:
    """What is asked of runs; faults of house rules are its findings.

    `whole` is False where some unit could not be read: then no name is called unknown, and nothing idle.
    """
    units = tuple(units)
    known = names(units, library.conditions, whole=whole and bool(units))
    rules, faults = house_rules(library.house_rules, known, _OWN)
    asked, unfit = practice(library.profile, profiles, known)
    meant = tuple(_meaning(units, library, rules, levels)) if known.whole else ()
    return Watchlist(asked, rules, (*faults, *unfit, *meant))


def _meaning(
    units: tuple[Unit, ...], library: LibraryFile, rules: tuple[Sequence, ...], levels: Levels
) -> Iterator[Finding]:
    """House rules that mean nothing on these units, and those that cannot be kept together."""
    alphabet = Alphabet(units, library.conditions)
    dead = {rule.rule: matcher for rule, matcher in idle(alphabet, rules)}
    for rule in rules:
        if rule.rule in dead:
            message = f"Nothing on any unit can be {dead[rule.rule].shown}: rule `{rule.name.text}` is idle."
            help_ = "Mend its words, or take the rule away."
            yield from _told("house/idle", rule.name, message, help_, (), levels)
    alive = tuple(rule for rule in rules if rule.rule not in dead)
    for clash in clashes(alphabet, alive):
        others = " and ".join(f"`{other.name.text}`" for other in clash.others)
        message = f"Rule `{clash.rule.name.text}` cannot be kept beside {others}."
        related = tuple(Related(o.span, f"the rule `{o.name.text}`") for o in clash.others)
        help_ = "Say in one of them what the other may do first, or take one away."
        yield from _told("house/contradiction", clash.rule.name, message, help_, related, levels)


def _told(
    rule: str, at: Scalar, message: str, help_: str, related: tuple[Related, ...], levels: Levels
) -> Iterator[Finding]:
    level = levels.of(RULES[rule])
    if level is not None:
        yield Finding(rule, level, message, at.span.file, at.span, help=help_, related=related)


def findings(
    plan: Plan, proof: Proof, seen: Iterable[tuple[Monitor, Watched]], levels: Levels
) -> tuple[Finding, ...]:
    """A finding for each lapse, the shortest trace of several; and one where a monitor was not settled."""
    told: dict[tuple[object, ...], Finding] = {}
    broken = {(breach.rule, breach.part) for breach in proof.breaches}
    for rule, watched in seen:
        level = levels.of(RULES.get(rule.rule) or Rule(rule.rule, page=None))
        if level is None:
            continue
        found = [_finding(plan, rule.rule, caught, level) for caught in watched.caught
                 if not broken & set(caught.lapse.covered)]  # fmt: skip
        if not watched.explored:
            found.append(_unsettled(plan, rule.rule, watched.states, level))
        for finding in found:
            key = finding.rule, finding.step, finding.part, finding.message
            kept = told.get(key)
            if kept is None or len(finding.trace) < len(kept.trace):
                told[key] = finding
    return tuple(told.values())


def _finding(plan: Plan, rule: str, caught: Caught, level: Level) -> Finding:
    steps = {step.id: step for step in every_step(plan.frame)}
    lapse = caught.lapse
    span = lapse.span or (steps[caught.step].span if caught.step is not None else plan.span)
    return Finding(
        rule,
        level,
        lapse.message,
        span.file,
        span,
        procedure=plan.procedure,
        unit=plan.unit.id,
        step=caught.step,
        part=lapse.part,
        energies=lapse.energies,
        trace=caught.trace,
        told=tuple(steps[move.step].text for move in caught.trace),
        help=lapse.help or None,
        related=lapse.related,
    )


def _unsettled(plan: Plan, rule: str, states: int, level: Level) -> Finding:
    return Finding(
        rule,
        level,
        f"Whether `{rule}` is kept in every order is not settled: after {states:,} states there were more.",
        plan.span.file,
        plan.span,
        procedure=plan.procedure,
        unit=plan.unit.id,
        help="Put groups that are free into an order, or raise the budget.",
    )

"""Levels of rules: those of a profile, then what the library says otherwise.

A never-rule keeps its level. A graph, energy or leak rule may be lowered but never switched off: what it
finds is always shown.
"""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, field

from proctool.model.document import Scalar
from proctool.model.finding import Finding, Level, file_fault
from proctool.model.nearest import did_you_mean
from proctool.model.procedure import Profile
from proctool.rules.packs import RULES
from proctool.rules.profile import chain
from proctool.rules.rule import Rule

OFF = "off"
_ALWAYS_SHOWN = frozenset({"graph", "energy", "leak", "chemical"})
_WEIGHT = {None: 0, Level.ADVICE: 1, Level.WARNING: 2, Level.ERROR: 3}


@dataclass(frozen=True, slots=True)
class Levels:
    """Levels that differ from the rules' own; None is off."""

    changed: ReadOnly[str, Level | None] = field(default_factory=dict)

    def of(self, rule: Rule) -> Level | None:
        """The level of a rule here, or None where it is off."""
        return self.changed.get(rule.id, rule.level)

    @property
    def lowered(self) -> tuple[str, ...]:
        """Rules whose level is lower than their own, for manuals and audits."""
        return tuple(sorted(name for name, to in self.changed.items() if _WEIGHT[to] < _WEIGHT[_own(name)]))


def library_levels(
    chosen: Scalar | None,
    written: tuple[tuple[Scalar, Scalar], ...],
    profiles: ReadOnly[str, Profile],
    house: ReadOnly[str, Rule],
) -> tuple[Levels, tuple[Finding, ...]]:
    """The levels of a library: those of its profile and of what that stands on, then its own.

    `house` are the company's own rules by id.
    """
    levels = Levels()
    rules = {**RULES, **house}
    stands_on, findings = chain(chosen, profiles)
    for profile in reversed(stands_on):
        levels, faults = _laid_over(levels, profile.levels, rules)
        findings += faults
    levels, faults = _laid_over(levels, written, rules)
    return levels, (*findings, *faults)


def _own(name: str) -> Level:
    """A rule's own level; that of every house rule is error."""
    return RULES[name].level if name in RULES else Level.ERROR


def _laid_over(
    under: Levels, written: tuple[tuple[Scalar, Scalar], ...], rules: ReadOnly[str, Rule]
) -> tuple[Levels, tuple[Finding, ...]]:
    changed = dict(under.changed)
    findings = []
    for name, level in written:
        rule = rules.get(name.text)
        if rule is None:
            message = f"There is no rule `{name.text}`.{did_you_mean(name.text, rules)}"
            findings.append(file_fault("graph/unknown-name", message, name.span))
        elif rule.never:
            message = f"`{rule.id}` keeps its level: it guards people. Take this line away."
            findings.append(file_fault("file/schema", message, name.span))
        elif level.text == OFF and rule.pack in _ALWAYS_SHOWN:
            message = f"`{rule.id}` cannot be off; it may be a warning or advice."
            findings.append(file_fault("file/schema", message, level.span))
        else:
            changed[rule.id] = None if level.text == OFF else Level(level.text)
    return Levels(changed), tuple(findings)

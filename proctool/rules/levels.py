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
        return tuple(
            sorted(name for name, to in self.changed.items() if _WEIGHT[to] < _WEIGHT[RULES[name].level])
        )


def library_levels(
    chosen: Scalar | None,
    written: tuple[tuple[Scalar, Scalar], ...],
    profiles: ReadOnly[str, Profile],
) -> tuple[Levels, tuple[Finding, ...]]:
    """The levels of a library: those of its profile and of what that stands on, then its own."""
    levels = Levels()
    findings: list[Finding] = []
    for profile in reversed(_chain(chosen, profiles, findings)):
        levels, faults = _laid_over(levels, profile.levels)
        findings += faults
    levels, faults = _laid_over(levels, written)
    return levels, (*findings, *faults)


def _chain(chosen: Scalar | None, profiles: ReadOnly[str, Profile], findings: list[Finding]) -> list[Profile]:
    """A profile and all it stands on, the chosen one first."""
    chain: list[Profile] = []
    while chosen is not None:
        profile = profiles.get(chosen.text)
        if profile is None:
            message = f"There is no profile `{chosen.text}`.{did_you_mean(chosen.text, profiles)}"
            findings.append(file_fault("graph/unknown-name", message, chosen.span))
            break
        if profile in chain:
            shown = " → ".join([*(p.name.text for p in chain), profile.name.text])
            findings.append(file_fault("file/cycle", f"Profiles need each other: {shown}.", chosen.span))
            break
        chain.append(profile)
        chosen = profile.based_on
    return chain


def _laid_over(
    under: Levels, written: tuple[tuple[Scalar, Scalar], ...]
) -> tuple[Levels, tuple[Finding, ...]]:
    changed = dict(under.changed)
    findings = []
    for name, level in written:
        rule = RULES.get(name.text)
        if rule is None:
            message = f"There is no rule `{name.text}`.{did_you_mean(name.text, RULES)}"
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

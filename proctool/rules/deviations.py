"""Deviations: recorded, dated exceptions from a rule, with what is done instead.

A valid deviation turns the findings it names into warnings that say so. A never-rule takes none; one that is
past its date does nothing and is a finding, and so is one that matches nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass, replace
from datetime import date

from proctool.model.finding import Finding, Level, file_fault
from proctool.model.nearest import did_you_mean
from proctool.model.procedure import Deviation
from proctool.rules.levels import Levels
from proctool.rules.packs import RULES
from proctool.rules.rule import Rule


@dataclass(frozen=True, slots=True)
class Applied:
    """Findings after deviations, and the deviations that were used."""

    findings: tuple[Finding, ...]
    used: frozenset[Deviation]


def valid(
    deviations: Iterable[Deviation], today: date, house: ReadOnly[str, Rule]
) -> tuple[tuple[Deviation, ...], tuple[Finding, ...]]:
    """The deviations that count today, and findings for those that do not.

    `house` are the company's own rules by id.
    """
    kept, findings = [], []
    rules = {**RULES, **house}
    for deviation in deviations:
        rule = rules.get(deviation.rule.text)
        if rule is None:
            hint = did_you_mean(deviation.rule.text, rules)
            message = f"There is no rule `{deviation.rule.text}`.{hint}"
            findings.append(file_fault("graph/unknown-name", message, deviation.rule.span))
        elif rule.never:
            message = f"`{rule.id}` takes no deviation: it guards against what hurts people."
            findings.append(file_fault("file/schema", message, deviation.rule.span))
        elif (until := _date(deviation.until)) is None:
            message = f"Found `{deviation.until}` for `until`; expected a date such as 2027-03-31."
            findings.append(file_fault("file/schema", message, deviation.rule.span))
        elif until < today:
            message = f"The deviation from `{rule.id}` ended on {until.isoformat()}."
            help_ = "Keep the rule, or have the deviation looked at again and granted with a new `until`."
            findings.append(file_fault("content/deviation-expired", message, deviation.rule.span, help=help_))
        else:
            kept.append(deviation)
    return tuple(kept), tuple(findings)


def apply(findings: Iterable[Finding], deviations: tuple[Deviation, ...]) -> Applied:
    """Lower every finding that a valid deviation names to a warning that tells it."""
    told: list[Finding] = []
    used: set[Deviation] = set()
    for finding in findings:
        deviation = next((d for d in deviations if _names(d, finding)), None)
        if deviation is None:
            told.append(finding)
            continue
        used.add(deviation)
        level = Level.WARNING if finding.level is Level.ERROR else finding.level
        message = f"{finding.message} Deviation until {deviation.until}: {deviation.instead}"
        told.append(replace(finding, level=level, message=message, deviated=True))
    return Applied(tuple(told), frozenset(used))


def unused(deviations: Iterable[Deviation], used: Iterable[Deviation], levels: Levels) -> tuple[Finding, ...]:
    """A finding for each deviation that matched nothing on any unit."""
    level = levels.of(RULES["content/deviation-unused"])
    left = [d for d in deviations if d not in set(used)]
    return tuple(
        replace(
            file_fault(
                "content/deviation-unused",
                f"Nothing departs from `{d.rule.text}` here: this deviation covers nothing.",
                d.rule.span,
                help="Take it away, or mend its rule, step or part.",
            ),
            level=level,
        )
        for d in left
        if level is not None
    )


def _names(deviation: Deviation, finding: Finding) -> bool:
    rule = RULES.get(finding.rule)
    if deviation.rule.text != finding.rule or (rule is not None and rule.never):
        return False
    step = deviation.step is None or (
        finding.step is not None and (finding.step + "/").startswith(deviation.step + "/")
    )
    return step and (deviation.part is None or deviation.part == finding.part)


def _date(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None

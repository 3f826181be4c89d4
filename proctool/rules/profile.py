"""A profile with all that it stands on: levels, the order of control, and rules that are asked as sequences.

What no profile of the chain says is as in `us_general_industry`.
"""

from __future__ import annotations

from collections.abc import Mapping as ReadOnly
from dataclasses import dataclass

from proctool.model.document import Scalar
from proctool.model.finding import Finding, file_fault
from proctool.model.nearest import did_you_mean
from proctool.model.procedure import Profile
from proctool.rules.house.pattern import Sequence
from proctool.rules.house.read import Names, sequence

DEFAULT = "us_general_industry"

ASKED = frozenset({"energy/people-untold", "energy/start-untold", "energy/order-of-control"})
"""Rules whose sequences are the data of a profile."""

Order = tuple[frozenset[str], ...]
"""Phases of control; those of one set without an order among them."""


@dataclass(frozen=True, slots=True)
class Practice:
    """What a profile asks of runs."""

    order: Order = ()
    sequences: tuple[Sequence, ...] = ()


def chain(
    chosen: Scalar | None, profiles: ReadOnly[str, Profile]
) -> tuple[tuple[Profile, ...], tuple[Finding, ...]]:
    """A profile and all it stands on, the chosen one first, the default one last."""
    found: list[Profile] = []
    faults: list[Finding] = []
    while chosen is not None:
        profile = profiles.get(chosen.text)
        if profile is None:
            message = f"There is no profile `{chosen.text}`.{did_you_mean(chosen.text, profiles)}"
            faults.append(file_fault("graph/unknown-name", message, chosen.span))
            break
        if profile in found:
            shown = " → ".join([*(p.name.text for p in found), profile.name.text])
            faults.append(file_fault("file/cycle", f"Profiles need each other: {shown}.", chosen.span))
            break
        found.append(profile)
        chosen = profile.based_on
    last = profiles.get(DEFAULT)
    if last is not None and last not in found:
        found.append(last)
    return tuple(found), tuple(faults)


def practice(
    chosen: Scalar | None, profiles: ReadOnly[str, Profile], known: Names
) -> tuple[Practice, tuple[Finding, ...]]:
    """What the chosen profile asks: for each rule the sequences of the nearest profile that has some."""
    findings: list[Finding] = []
    asked: dict[str, list[Sequence]] = {}
    order: Order = ()
    for profile in chain(chosen, profiles)[0]:
        if profile.order and not order:
            order, faults = _order(profile)
            findings += faults
        nearer = frozenset(asked)
        for written in profile.sequences:
            rule = written.name.text
            if rule not in ASKED:
                message = f"No profile says how `{rule}` is asked.{did_you_mean(rule, ASKED)}"
                findings.append(file_fault("graph/unknown-name", message, written.name.span))
                continue
            read, unknown = sequence(written, rule, known)
            findings += unknown
            if read is not None and rule not in nearer:
                asked.setdefault(rule, []).append(read)
    return Practice(order, tuple(s for rule in asked.values() for s in rule)), tuple(findings)


def _order(profile: Profile) -> tuple[Order, tuple[Finding, ...]]:
    phases: set[str] = set()
    faults = []
    for phase in (phase for group in profile.order for phase in group):
        if phase.text in phases:
            message = f"Phase `{phase.text}` stands in the order of control twice."
            faults.append(file_fault("graph/duplicate-id", message, phase.span))
        phases.add(phase.text)
    order = tuple(frozenset(phase.text for phase in group) for group in profile.order)
    return (() if faults else order), tuple(faults)

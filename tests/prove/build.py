"""Small cases as texts: a clean unit and procedure, and damage of one edit.

A case is written the way a person writes files, one step to a line, so that a damage is one line left out,
moved or changed, and the place of every finding can be told without the package.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import yaml

from proctool.api import Library
from proctool.model.finding import Finding
from proctool.model.plan import Plan
from proctool.model.verdict import Verdict
from proctool.results import Case as Judged
from proctool.results import Check
from proctool.rules.packs import RULES

UNIT, PROCEDURE = "units/unit.yaml", "procedure.yaml"
PROCEDURE_HEAD = "procedure: work\ntitle: Work\nunits: [T]\n"


@dataclass(frozen=True, slots=True)
class Case:
    """A unit and a procedure on it, as texts."""

    unit: str
    procedure: str

    def files(self) -> dict[str, str]:
        return {"library.yaml": "library: Tests\n", UNIT: self.unit, PROCEDURE: self.procedure}

    # -- damage: each edit must find exactly one place, or the test itself is wrong

    def edit(self, old: str, new: str) -> Case:
        """One place of the unit or of the procedure said otherwise."""
        assert self.unit.count(old) + self.procedure.count(old) == 1, f"not in one place: {old}"
        return Case(self.unit.replace(old, new), self.procedure.replace(old, new))

    def drop(self, step: str) -> Case:
        """One step left out."""
        lines = self.procedure.splitlines()
        del lines[self._line(step)]
        return replace(self, procedure=_joined(lines))

    def move(self, step: str, *, before: str) -> Case:
        """One step done too early, or too late."""
        lines = self.procedure.splitlines()
        moved = lines.pop(self._line(step))
        there = replace(self, procedure=_joined(lines))
        lines.insert(there._line(before), moved)
        return replace(self, procedure=_joined(lines))

    def insert(self, step: str, *, before: str) -> Case:
        """One step too many."""
        lines = self.procedure.splitlines()
        lines.insert(self._line(before), f"  - {{{step}}}")
        return replace(self, procedure=_joined(lines))

    def _line(self, step: str) -> int:
        """The line of a step, from the beginning of what it says."""
        lines = self.procedure.splitlines()
        found = [i for i, line in enumerate(lines) if line.startswith(f"  - {{{step}")]
        assert len(found) == 1, f"{len(found)} lines start with: {step}"
        return found[0]

    # -- what the package says

    def library(self) -> Library:
        return Library.from_texts(self.files())

    def check(self, **asked: Any) -> Check:
        return self.library().check(**asked)

    def judged(self) -> Judged:
        """The one case of the library, carried as far as it could be."""
        (only,) = self.library().cases()
        return only

    def plan(self) -> Plan:
        plan = self.judged().plan
        assert plan is not None, self.check().to_text()
        return plan

    # -- what the texts say, read without the package

    def steps(self) -> list[tuple[str, bool | None, int, set[str]]]:
        """Of each main step its id, its outcome when all goes well, its line, the parts that it acts on."""
        lines = self.procedure.splitlines()
        found = []
        for number, line in enumerate(lines, 1):
            if line.startswith("  - {"):
                (entry,) = yaml.safe_load(line)
                found.append((_id(entry), _outcome(entry), number, set(_parts(entry))))
        return found

    def straight(self, last: str | None = None) -> tuple[tuple[str, bool | None], ...]:
        """The run in file order in which all goes well, up to one step or to the end."""
        run = []
        for name, outcome, *_ in self.steps():
            run.append((name, outcome))
            if name == last:
                break
        return tuple(run)


def case(unit: str, steps: str, head: str = "") -> Case:
    """A case from the text of a unit, and steps of which each is the inside of a one-line map."""
    lines = [f"  - {{{line.strip()}}}" for line in steps.strip().splitlines()]
    return Case(unit, f"{PROCEDURE_HEAD}{head}steps:\n" + _joined(lines))


def bare(steps: Sequence[str], head: str = "") -> Case:
    """A case on a unit where nothing can go wrong, for questions about orders alone."""
    return case(NOTHING, "\n".join(steps), head)


NOTHING = """\
unit: T
title: A unit where nothing goes wrong
energies:
  water: {form: liquid_pressure}
parts:
  supply: {role: source}
  pipe: {role: component, near: []}
lines:
  main: {energy: water, path: [supply, pipe]}
"""


def _joined(lines: Sequence[str]) -> str:
    return "\n".join(lines) + "\n"


NO_ACTS = {"id", "do", "check", "otherwise", "after", "needs", "makes", "once", "for"}


def _id(entry: Mapping[str, Any]) -> str:
    if "id" in entry:
        return str(entry["id"])
    verb = next(key for key in entry if key not in NO_ACTS)
    value = entry[verb]
    value = value["part"] if isinstance(value, dict) else value
    return "-".join([verb, *(value if isinstance(value, list) else [value])])


def _outcome(entry: Mapping[str, Any]) -> bool | None:
    acts = set(entry) - NO_ACTS
    return True if "check" in entry or acts and acts <= {"verify_zero", "leak_check"} else None


def _parts(entry: Mapping[str, Any]) -> Iterator[str]:
    for key, value in entry.items():
        if key == "otherwise":
            for inner in value.get("steps", ()):
                yield from _parts(inner)
        elif key not in NO_ACTS:
            named = value["part"] if isinstance(value, dict) else value
            yield from named if isinstance(named, list) else [named]


# ---------------------------------------------------------------------------- findings


def told(finding: Finding) -> str:
    """A finding as one line: rule, step (`end` for the end of the procedure), part."""
    return f"{finding.rule} {finding.step or 'end'} {finding.part}"


def of_proof(rule: str) -> bool:
    """Whether the proof settles this rule, and not a rule beside it, the reader of files or the resolver."""
    return rule in RULES and RULES[rule].of_proof


def proofs(result: Check) -> dict[str, Finding]:
    """What the proof found, by `told`; findings of rules beside the proof are not asked about here."""
    return {told(f): f for f in result.findings if of_proof(f.rule)}


def verdict(result: Check) -> Verdict:
    """The verdict on the one case of a library."""
    assert len(result.verdicts) == 1, result.to_text()
    return result.verdicts[0].verdict


def trace(finding: Finding) -> tuple[tuple[str, bool | None], ...]:
    return tuple((move.step, move.passed) for move in finding.trace)


def assert_safe(clean: Case) -> None:
    result = clean.check()
    assert sorted(proofs(result)) == [], result.to_text()
    assert verdict(result) is Verdict.SAFE, result.to_text()


def assert_found(damaged: Case, *expected: str) -> dict[str, Finding]:
    """Exactly these findings, each at its line with a trace that reaches it; and the verdict `unsafe`.

    A case here has no freedom and goes back nowhere, so there is one run to each main step: that run is the
    shortest, and the trace must be it.
    """
    result = damaged.check()
    found = proofs(result)
    assert set(found) == set(expected), result.to_text()
    assert verdict(result) is Verdict.UNSAFE
    for finding in found.values():
        assert_placed(damaged, finding)
        main = None if finding.step is None else finding.step.split("/")[0]
        if main == finding.step and not finding.rule.startswith("graph/end"):
            assert trace(finding) == damaged.straight(main)
    return found


def assert_placed(case: Case, finding: Finding) -> None:
    """A finding stands at the line of its step; at the end, at the last step that acts on its part."""
    assert finding.file == PROCEDURE
    assert finding.span is not None
    lines = {name: line for name, _, line, _ in case.steps()}
    if finding.step is not None:
        assert finding.span.line == lines[finding.step.split("/")[0]]
    else:
        acting = [line for _, _, line, parts in case.steps() if finding.part in parts]
        assert finding.span.line == (acting[-1] if acting else 1)

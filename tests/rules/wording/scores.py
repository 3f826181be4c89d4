"""Precision and recall of the wording rules on two sets of sentences, through the whole tool in one check.

`python -m tests.rules.wording.scores` prints them.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from proctool.api import Library
from proctool.rules import wording

HERE = Path(__file__).parent
SETS = ("sentences_with_rules", "sentences_from_sources")
RULES = tuple(rule.id.partition("/")[2] for rule in wording.PACK if rule.text or rule.plan)

_REFUSED = "`word` must be `danger`"
"""A signal word that is none of the four is refused when the file is read, before any rule."""

LIBRARY = """\
library: Sentences
tools: {wrench: strap wrench, torque_wrench: torque wrench}
supplies: {o_ring: housing O-ring, grease: silicone grease}
"""
UNIT = """\
unit: S-1
title: Filter with pump
family: S
energies:
  water: {form: liquid_pressure, normal: 4 bar, safe: 0 bar}
  mains: {form: electricity, normal: 230 V, safe: 0 V}
parts:
  supply: {role: source, name: water main}
  inlet: {role: isolator, device: valve, name: inlet valve, tag: V1, throttles: true}
  pump: {role: component, name: booster pump, runs: mains}
  housing:
    {role: component, name: sediment housing, cartridge: sediment cartridge, seal: O-ring, tighten: 22 N·m}
  drain: {role: vent, name: drain cock, tag: V2, to: bucket}
  gauge: {role: gauge, name: inlet gauge, tag: P1, at: housing, energy: water, span: 10 bar}
  outlet: {role: outlet, name: outlet, feeds_back: false, why: ends free}
  socket: {role: source, name: wall socket}
  plug: {role: isolator, device: plug, name: pump plug, tag: X1}
lines:
  main: {energy: water, path: [supply, inlet, pump, housing, outlet]}
  relief: {energy: water, path: [housing, drain]}
  power: {energy: mains, path: [socket, plug, pump]}
"""


@dataclass(frozen=True)
class Sentence:
    """One sentence or safety message, and the rules that it is said to break."""

    id: str
    file: str
    procedure: str
    rules: frozenset[str]


@dataclass(frozen=True)
class Score:
    """How often a rule found what it should, what it should not, and nothing where it should."""

    right: int
    wrong: int
    missed: int

    @property
    def precision(self) -> float:
        return self.right / (self.right + self.wrong) if self.right + self.wrong else 1.0

    @property
    def recall(self) -> float:
        return self.right / (self.right + self.missed) if self.right + self.missed else 1.0


def sentences(name: str) -> tuple[Sentence, ...]:
    """The sentences of a set, each as a procedure of its own."""
    said = yaml.load((HERE / f"{name}.yaml").read_text(encoding="utf-8"), Loader=yaml.BaseLoader)  # noqa: S506
    return tuple(
        Sentence(
            entry["id"],
            f"{name}/{entry['id']}.yaml",
            yaml.safe_dump(_procedure(name, entry), sort_keys=False, allow_unicode=True, width=10_000),
            frozenset(rule.removeprefix("wording/") for rule in entry["rules"]),
        )
        for entry in said
    )


def _procedure(name: str, entry: dict[str, Any]) -> dict[str, Any]:
    looking = {"do": "Look at the <gauge>."}
    procedure: dict[str, Any] = {"procedure": f"{name}-{entry['id']}", "title": "Try", "units": ["S-1"]}
    match entry["kind"]:
        case "danger":
            procedure |= {"dangers": {"it": entry["danger"]}, "steps": [looking | {"warn": "it"}]}
        case "note":
            procedure["steps"] = [looking | {"note": entry["text"]}]
        case kind:
            key = "check" if kind == "check" else "do"
            procedure["steps"] = [{key: entry["text"]} | (entry.get("acts") or {})]
    return procedure


def found(told: tuple[Sentence, ...]) -> dict[str, frozenset[str]]:
    """The wording rules that each sentence breaks for proctool, by file."""
    files = {"library.yaml": LIBRARY, "unit.yaml": UNIT} | {s.file: s.procedure for s in told}
    findings = Library.from_texts(files).check().findings
    refused = {f.file for f in findings if f.message.startswith(_REFUSED)}
    unread = [f for f in findings if f.rule.startswith("file/") or f.rule == "graph/unknown-name"]
    assert {f.file for f in unread} == refused, [(f.file, f.message) for f in unread]
    broken = {(f.file, f.rule.partition("/")[2]) for f in findings if f.rule.startswith("wording/")}
    broken |= {(file, "signal-word") for file in refused}
    return {s.file: frozenset(rule for file, rule in broken if file == s.file) for s in told}


def scores(told: tuple[Sentence, ...], said: dict[str, frozenset[str]]) -> dict[str, Score]:
    """The score of each rule."""
    return {
        rule: Score(
            sum(rule in s.rules and rule in said[s.file] for s in told),
            sum(rule not in s.rules and rule in said[s.file] for s in told),
            sum(rule in s.rules and rule not in said[s.file] for s in told),
        )
        for rule in RULES
    }


def table(of: dict[str, Score]) -> Iterator[str]:
    """The scores as a table."""
    yield "| rule | right | wrong | missed | precision | recall |"
    yield "| --- | --- | --- | --- | --- | --- |"
    whole = Score(*(sum(getattr(s, key) for s in of.values()) for key in ("right", "wrong", "missed")))
    for name, score in (*of.items(), ("all", whole)):
        counts = f"{score.right} | {score.wrong} | {score.missed}"
        yield f"| {name} | {counts} | {score.precision:.2f} | {score.recall:.2f} |"


def main() -> None:
    """Print the scores of both sets, and every sentence that is judged otherwise than said."""
    for name in SETS:
        told = sentences(name)
        said = found(told)
        lines = [f"{name}: {len(told)} sentences", "", *table(scores(told, said))]
        for sentence in told:
            wrong, missed = said[sentence.file] - sentence.rules, sentence.rules - said[sentence.file]
            if wrong or missed:
                lines.append(f"{sentence.id}: wrong {sorted(wrong)}, missed {sorted(missed)}")
        sys.stdout.write("\n".join([*lines, "", ""]))


if __name__ == "__main__":
    main()

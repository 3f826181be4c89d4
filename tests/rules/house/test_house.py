"""House rules in a library: bad ones, levels, deviations, the budget, and the same answer every time."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from proctool.api import Library
from proctool.model.finding import Level
from proctool.model.verdict import Verdict
from proctool.network.reach import Network
from proctool.prove import watch
from tests.rules import example
from tests.rules.house.small import HEAD, check, library, of

ROOT = Path(__file__).parents[3]


class TestBadRules:
    @pytest.mark.parametrize(
        ("rule", "wrong", "near"),
        [
            ("never: {act: open, part: housin}", "housin", "housing"),
            ("never: {act: open, tag: V22}", "V22", "V2"),
            ("never: {act: open, carries: watr}", "watr", "water"),
            ("before: {act: open}, first: {glases: worn}", "glases", "glasses"),
            ("before: {act: open}, first: {glasses: warn}", "warn", "worn"),
            ("never: {act: verify_zero, by: tster}", "tster", "tester"),
            ("never: {act: open}, between: [{act: start}, {act: stop, part: pmp}]", "pmp", "pump"),
        ],
    )
    def test_an_unknown_name(self, rule, wrong, near):
        found = check("  - stop: pump\n", f"  - {{id: r, say: Never., {rule}}}\n")
        (fault,) = [f for f in found if f.file == "library.yaml"]
        assert (fault.rule, fault.level) == ("graph/unknown-name", Level.ERROR)
        assert f"`{wrong}`" in fault.message and f"`{near}`?" in fault.message
        text = library(f"  - {{id: r, say: Never., {rule}}}\n").splitlines()
        assert fault.span is not None
        assert text[fault.span.line - 1][fault.span.column - 1 :].startswith(wrong)

    @pytest.mark.parametrize(
        "rule",
        [
            "never: {act: opn}",
            "never: {act: open, role: valve}",
            "before: {act: open}",
            "before: {act: open}, first: {act: lock}, between: [{act: start}, {act: stop}]",
            "never: {act: open}, must: {act: close}",
            "never: {}",
        ],
    )
    def test_what_the_schema_refuses(self, rule):
        found = check("  - stop: pump\n", f"  - {{id: r, say: Never., {rule}}}\n")
        assert ("file/schema", "library.yaml") in {(f.rule, f.file) for f in found}

    def test_an_id_that_stands_twice(self):
        rules = "  - {id: r, say: A., never: {act: open}}\n  - {id: r, say: B., never: {act: close}}\n"
        (fault,) = [f for f in check("  - stop: pump\n", rules) if f.file == "library.yaml"]
        assert fault.rule == "graph/duplicate-id" and fault.span is not None and fault.span.line == 5

    def test_an_id_of_proctool(self):
        found = check("  - stop: pump\n", "  - {id: idle, say: A., never: {act: open}}\n")
        assert [(f.rule, f.file) for f in found if f.file == "library.yaml"] == [
            ("graph/hidden-name", "library.yaml")
        ]

    @pytest.mark.parametrize(
        ("rules", "clashing"),
        [
            (
                (
                    "{id: a, say: A, never: {act: tell}}|"
                    "{id: b, say: B, after: {act: restore}, must: {act: tell}}"
                ),
                {"b"},
            ),
            (
                (
                    "{id: a, say: A, never: {act: vent}}|"
                    "{id: b, say: B, before: {act: open}, first: {act: vent}}"
                ),
                {"b"},
            ),
            (
                (
                    "{id: a, say: A., before: {act: open}, first: {act: vent}}"
                    "|{id: b, say: B., before: {act: vent}, first: {act: lock}}"
                    "|{id: c, say: C., before: {act: lock}, first: {act: open}}"
                ),
                {"a", "b", "c"},
            ),
            (
                (
                    "{id: a, say: A., before: {act: open}, first: {act: open, part: pump}}"
                    "|{id: b, say: B., before: {act: open, part: pump}, first: {act: lock}}"
                ),
                set(),
            ),
            (
                (
                    "{id: a, say: A, never: {act: open}}|"
                    "{id: b, say: B, before: {act: open}, first: {act: vent}}"
                ),
                set(),
            ),
            (
                (
                    "{id: a, say: A., before: {act: open}, first: {glasses: off}}"
                    "|{id: b, say: B., before: {glasses: off}, first: {act: close}}"
                ),
                set(),
            ),
        ],
    )
    def test_rules_that_cannot_be_kept_together(self, rules, clashing):
        lines = "".join(f"  - {rule}\n" for rule in rules.split("|"))
        found = [f for f in check("  - {do: Look.}\n", lines) if f.rule == "house/contradiction"]
        assert {f.message.split("`")[1] for f in found} == clashing
        assert all(f.level is Level.ERROR and f.related for f in found)

    def test_the_other_rules_still_count(self):
        rules = "  - {id: a, say: A., never: {act: opn}}\n".replace("opn", "open, part: nothing")
        found = check("  - {open: housing}\n", rules + "  - {id: b, say: B., never: {act: open}}\n")
        assert of(found, "house/") == [("house/b", "open-housing")]


class TestLevelsAndDeviations:
    RULE = "  - {id: r, say: Never., never: {act: lubricate}}\n"
    GREASE = "  - {do: Grease., id: grease, lubricate: {part: pump, what: bearing}}\n"

    def test_a_house_rule_is_an_error_and_leaves_the_verdict_alone(self):
        texts = {**example.clean(), "library.yaml": library(self.RULE), "procedure.yaml": HEAD + self.GREASE}
        result = Library.from_texts(texts).check()
        assert {f.level for f in result.findings if f.rule == "house/r"} == {Level.ERROR}
        case = next(iter(Library.from_texts(texts).cases()))
        assert case.faulty
        assert "house/r" in result.to_text() and '"house/r"' in result.to_json()

    def test_a_level(self):
        found = check(self.GREASE, self.RULE, "levels: {house/r: advice}\n")
        assert {f.level for f in found if f.rule == "house/r"} == {Level.ADVICE}
        assert not of(check(self.GREASE, self.RULE, "levels: {house/r: off}\n"), "house/r")

    def test_a_level_of_no_house_rule(self):
        (fault,) = [
            f for f in check(self.GREASE, self.RULE, "levels: {house/s: off}\n") if f.file == "library.yaml"
        ]
        assert fault.rule == "graph/unknown-name"

    def test_a_deviation(self):
        deviation = (
            "deviations: [{rule: house/r, step: grease, why: W., instead: I., by: A, until: 2099-01-01}]\n"
        )
        found = check(self.GREASE + deviation, self.RULE)
        assert [(f.level, f.deviated) for f in found if f.rule == "house/r"] == [(Level.WARNING, True)]


class TestBudget:
    def test_what_is_not_settled_is_said(self):
        opens = "".join(
            f"  - {{open: housing, id: o{i}, after: [], makes: {{glasses: off}}}}\n" for i in range(12)
        )
        rule = "  - {id: r, say: Glasses., before: {act: open}, first: {glasses: off}}\n"
        texts = {**example.clean(), "library.yaml": library(rule), "procedure.yaml": HEAD + opens}
        (found,) = [f for f in Library.from_texts(texts).check(budget=500).findings if f.rule == "house/r"]
        assert "not settled" in found.message and found.level is Level.ERROR

    def test_free_steps_that_only_ask_cost_nothing(self):
        opens = "".join(f"  - {{open: housing, id: o{i}, after: [on]}}\n" for i in range(40))
        on = "  - {do: On., id: on, makes: {glasses: worn}}\n"
        rule = "  - {id: r, say: Glasses., before: {act: open}, first: {glasses: worn}}\n"
        texts = {**example.clean(), "library.yaml": library(rule), "procedure.yaml": HEAD + on + opens}
        lib = Library.from_texts(texts)
        plan = next(iter(lib.cases(budget=10))).plan
        assert plan is not None
        (monitor,) = [m for m in lib.watchlist.monitors(plan, Network(plan.unit)) if m.rule == "house/r"]
        seen = watch(plan, monitor)
        assert seen.explored and not seen.caught and seen.states < 100


CODE = """
import sys
sys.path.insert(0, ".")
from tests.rules.house.test_oracle import library
for seed in range(12):
    print(library(seed)[0].check().to_json())
"""


def test_the_same_bytes_under_two_hash_seeds():
    told = {
        subprocess.run(
            [sys.executable, "-c", CODE],
            cwd=ROOT,
            capture_output=True,
            check=True,
            env={**os.environ, "PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    }
    assert len(told) == 1 and len(told.pop()) > 1000


THINGS = """\
tools: {wrench: strap wrench}
supplies: {o_ring: housing O-ring, new_cartridge: filter cartridge}
"""


def test_no_house_rule_decides_a_verdict():
    rule = "  - {id: r, say: Never., never: {act: open}}\n"
    texts = {**example.clean(), "library.yaml": library(rule, THINGS)}
    result = Library.from_texts(texts).check()
    assert of(list(result.findings), "house/") and [v.verdict for v in result.verdicts] == [Verdict.SAFE]

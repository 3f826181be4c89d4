"""Every bad fixture and bad page example of a rule that has a fix: fixed, and nothing else changed."""

import re
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from proctool.fix import fix_library
from proctool.fix.fixes import FIXES, READING
from proctool.rules.packs import RULES
from proctool.rules.page import parse
from tests.rules import example

FIXTURES = Path(__file__).parents[1] / "rules"


def pages():
    return {f"page of {rule}": example.on_page(parse(RULES[rule]).bad) for rule in FIXES}


def fixtures():
    """Those whose marks name a rule that has a fix, whatever rule they are of."""
    found = {}
    for path in sorted(FIXTURES.glob("*/*/bad.yaml")):
        files, expected = example.fixture(path.read_text(encoding="utf-8"))
        if FIXES.keys() & {rule for _, _, rule in expected}:
            found[str(path.parent.relative_to(FIXTURES))] = files
    return found


@cache
def checked(files):
    return example.check({file: data.decode() for file, data in files})


def check(files):
    return checked(tuple(sorted(files.items())))


def comments(files):
    return Counter(
        found for data in files.values() for found in re.findall(r"(?m)(?:^|\s)# .*$", data.decode())
    )


def places(check, rule):
    return {(finding.file, finding.span) for finding in check.findings if finding.rule == rule}


def what(finding):
    return finding.rule, finding.file, finding.procedure, finding.unit, finding.step, finding.part


EXAMPLES = {
    name: {file: text.encode() for file, text in files.items()}
    for name, files in {**pages(), **fixtures()}.items()
}


def test_every_rule_with_a_fix_is_among_them():
    assert FIXES.keys() <= {name.removeprefix("page of ") for name in EXAMPLES}


@pytest.fixture(params=EXAMPLES)
def outcome(request):
    files = EXAMPLES[request.param]
    fixed = fix_library(files, check)
    return files, {**files, **fixed.after}, fixed


class TestOutcome:
    def test_each_fault_is_fixed_or_told(self, outcome):
        files, _, fixed = outcome
        for rule in FIXES.keys() - {"file/schema"}:
            told = [note for note in (*fixed.done, *fixed.left) if note.rule == rule]
            assert len(told) == len(places(check(files), rule))

    def test_what_is_fixed_is_found_no_more(self, outcome):
        files, after, fixed = outcome
        for rule, many in Counter(note.rule for note in fixed.done).items():
            assert len(places(check(after), rule)) == len(places(check(files), rule)) - many

    def test_nothing_new_is_found(self, outcome):
        files, after, fixed = outcome
        if any(note.rule in READING for note in fixed.done):  # the file can be read now, and is judged
            assert not any(f.rule in READING for f in check(after).findings)
        else:
            assert not Counter(map(what, check(after).findings)) - Counter(map(what, check(files).findings))

    def test_the_verdicts_are_the_same(self, outcome):
        files, after, _ = outcome
        now = {(v.procedure, v.unit): v.verdict for v in check(after).verdicts}
        assert all(now[v.procedure, v.unit] is v.verdict for v in check(files).verdicts)

    def test_the_comments_stay(self, outcome):
        files, after, _ = outcome
        assert comments(after) == comments(files)

    def test_fixing_again_changes_nothing(self, outcome):
        _, after, fixed = outcome
        again = fix_library(after, check)
        assert (dict(again.after), again.done, again.left) == ({}, (), fixed.left)

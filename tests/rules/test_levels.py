"""What a library may say about the levels of rules, and what it may not."""

from pathlib import Path

import pytest

from proctool.api import Library
from proctool.model.finding import Level
from proctool.model.verdict import Verdict
from proctool.rules.packs import RULES
from tests.rules import example

HERE = Path(__file__).parent
ALWAYS_SHOWN = ("graph", "energy", "leak", "chemical")
NEVER = [rule for rule in RULES.values() if rule.never]
SHOWN = [rule for rule in RULES.values() if rule.pack in ALWAYS_SHOWN and not rule.never]


def bad(rule):
    """The files of the bad fixture of a rule."""
    return example.fixture((HERE / rule / "bad.yaml").read_text(encoding="utf-8"))[0]


def at_levels(files, **levels):
    """The library, with these levels in its library file."""
    said = "".join(f"  {name}: {level}\n" for name, level in levels.items())
    return {**files, "library.yaml": files["library.yaml"] + "levels:\n" + said}


def check(rule, **levels):
    """What is found in the bad fixture of a rule, at these levels."""
    return example.check(at_levels(bad(rule), **levels) if levels else bad(rule))


def levels_of(found, rule):
    return {finding.level for finding in found.findings if finding.rule == rule}


def verdicts(found):
    return {judgement.verdict for judgement in found.verdicts}


class TestChanged:
    def test_raised(self):
        found = check("leak/no-duration", **{"leak/no-duration": "error"})
        assert levels_of(found, "leak/no-duration") == {Level.ERROR}

    def test_lowered(self):
        found = check("leak/seal-not-inspected", **{"leak/seal-not-inspected": "advice"})
        assert levels_of(found, "leak/seal-not-inspected") == {Level.ADVICE}

    def test_off(self):
        assert levels_of(check("content/deviation-unused"), "content/deviation-unused") == {Level.WARNING}
        found = check("content/deviation-unused", **{"content/deviation-unused": "off"})
        assert found.findings == ()

    def test_only_the_rule_that_is_named(self):
        found = check("leak/filled-at-once", **{"leak/filled-at-once": "warning"})
        assert levels_of(found, "leak/filled-at-once") == {Level.WARNING}
        assert levels_of(found, "leak/full-before-bleed") == {Level.ERROR}

    def test_what_is_lower_than_its_own_level_is_told(self):
        levels = {"leak/seal-not-inspected": "advice", "leak/no-duration": "error", "leak/unchecked": "error"}
        library = Library.from_texts(at_levels(example.clean(), **levels))
        assert library.levels[0].lowered == ("leak/seal-not-inspected",)

    def test_a_level_that_is_none_is_a_fault_of_the_file(self):
        found = check("leak/no-duration", **{"leak/no-duration": "fatal"})
        assert {(f.rule, f.file) for f in found.findings} >= {("file/schema", "library.yaml")}


class TestRefused:
    def test_a_level_for_no_rule(self):
        (fault,) = example.check(at_levels(example.clean(), **{"leak/no-durations": "error"})).findings
        assert (fault.rule, fault.file, fault.level) == ("graph/unknown-name", "library.yaml", Level.ERROR)
        assert "`leak/no-durations`" in fault.message and "`leak/no-duration`?" in fault.message

    @pytest.mark.parametrize("rule", SHOWN, ids=lambda rule: rule.id)
    def test_what_guards_people_is_never_off(self, rule):
        files = at_levels(example.clean(), **{rule.id: "off"})
        (fault,) = example.check(files).findings
        assert (fault.rule, fault.file) == ("file/schema", "library.yaml")
        assert "cannot be off" in fault.message
        assert Library.from_texts(files).levels[0].of(rule) is rule.level

    @pytest.mark.parametrize("level", ["off", "advice", "warning", "error"])
    @pytest.mark.parametrize("rule", NEVER, ids=lambda rule: rule.id)
    def test_a_never_rule_keeps_its_level(self, rule, level):
        files = at_levels(example.clean(), **{rule.id: level})
        (fault,) = example.check(files).findings
        assert (fault.rule, fault.file) == ("file/schema", "library.yaml")
        assert "keeps its level" in fault.message
        assert Library.from_texts(files).levels[0].of(rule) is rule.level

    def test_a_never_rule_is_still_found_at_its_level(self):
        found = check("energy/opened-live", **{"energy/opened-live": "off"})
        assert levels_of(found, "energy/opened-live") == {Level.ERROR}
        assert verdicts(found) == {Verdict.UNSAFE}

    def test_the_line_that_is_wrong_is_shown_and_the_others_count(self):
        levels = {"leak/unchecked": "off", "leak/no-duration": "error"}
        files = at_levels(bad("leak/no-duration"), **levels)
        found = example.check(files)
        (fault,) = [f for f in found.findings if f.rule == "file/schema"]
        assert fault.span is not None
        assert files[fault.file].splitlines()[fault.span.line - 1] == "  leak/unchecked: off"
        assert levels_of(found, "leak/no-duration") == {Level.ERROR}


class TestVerdict:
    @pytest.mark.parametrize(
        "rule", [rule.id for rule in SHOWN if rule.of_proof and rule.level is Level.ERROR]
    )
    def test_a_lowered_level_does_not_change_it(self, rule):
        lowered = {name.id: "advice" for name in SHOWN if name.of_proof}
        assert verdicts(check(rule)) == verdicts(check(rule, **lowered)) == {Verdict.UNSAFE}

    def test_a_raised_level_does_not_change_it(self):
        found = check("leak/no-duration", **{"leak/no-duration": "error"})
        assert verdicts(found) == {Verdict.SAFE}

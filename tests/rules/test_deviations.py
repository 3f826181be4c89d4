"""Deviations: what they cover, what they do not, and what is said of those that do not count."""

from dataclasses import replace as changed
from datetime import date
from pathlib import Path

import pytest

from proctool.api import Library
from proctool.model.finding import Level
from proctool.model.verdict import Verdict
from proctool.rules.packs import RULES
from tests.rules import example

HERE = Path(__file__).parent
RULE = "leak/seal-not-inspected"
STEP = "screw-housing"
INSTEAD = "The lid is replaced every year."


def bad(rule=RULE):
    return example.fixture((HERE / rule / "bad.yaml").read_text(encoding="utf-8"))[0]


def deviating(files, **said):
    """The files with a deviation in the procedure: of RULE on the housing, but for what is said otherwise."""
    deviation = {
        "rule": RULE,
        "part": "housing",
        "why": "The seal is moulded into the lid.",
        "instead": INSTEAD,
        "by": "A. Example",
        "until": "2027-03-31",
        **said,
    }
    lines = [f"    {key}: {value}\n" for key, value in deviation.items() if value is not None]
    return {
        **files,
        "procedure.yaml": files["procedure.yaml"] + "deviations:\n  -" + "".join(lines)[3:],
    }


def checked(files):
    """The fixtures are about acts; how they are written is not looked at here."""
    return example.without_style(example.check(files))


def check(files=None, **said):
    return checked(deviating(bad() if files is None else files, **said))


def verdicts(found):
    return [judgement.verdict for judgement in found.verdicts]


def rules(found):
    return sorted(finding.rule for finding in found.findings)


class TestCovers:
    def test_without_one_it_is_unsafe(self):
        assert verdicts(example.check(bad())) == [Verdict.UNSAFE]

    def test_the_verdict_says_so(self):
        assert verdicts(check()) == [Verdict.SAFE_WITH_DEVIATIONS]

    def test_the_finding_becomes_a_warning_that_tells_it(self):
        (before,) = checked(bad()).findings
        (after,) = check().findings
        assert after.level is Level.WARNING and after.deviated
        assert after.message == f"{before.message} Deviation until 2027-03-31: {INSTEAD}"
        assert changed(after, level=before.level, message=before.message, deviated=False) == before

    def test_a_warning_stays_a_warning(self):
        (finding,) = check(bad("leak/no-duration"), rule="leak/no-duration").findings
        assert finding.level is Level.WARNING and finding.deviated

    @pytest.mark.parametrize("part", [None, "housing"])
    def test_by_its_step(self, part):
        assert verdicts(check(step=STEP, part=part)) == [Verdict.SAFE_WITH_DEVIATIONS]

    @pytest.mark.parametrize("step", ["restore", "restore/leaks", "restore/leaks/housing/no-part"])
    def test_by_a_group_around_its_step(self, step):
        (finding,) = check(bad("leak/no-duration"), rule="leak/no-duration", part=None, step=step).findings
        assert finding.deviated

    def test_on_its_last_day(self):
        assert verdicts(check(until=example.TODAY_IN_TESTS)) == [Verdict.SAFE_WITH_DEVIATIONS]

    def test_what_is_found_at_the_end_by_its_part(self):
        files = bad("leak/left-open")
        found = check(files, rule="leak/left-open")
        assert {f.rule: f.deviated for f in found.findings} == {
            "leak/left-open": True,
            "leak/unchecked": False,
        }


class TestDoesNotCover:
    @pytest.mark.parametrize(
        "said",
        [
            {"rule": "leak/unchecked"},
            {"part": "pump"},
            {"part": None, "step": "unscrew-housing"},
            {"part": None, "step": "screw"},  # the first letters of an id are no group
            {"part": None, "step": f"{STEP}/inside"},
            {"part": "pump", "step": STEP},
            {"part": "housing", "step": "unscrew-housing"},
        ],
        ids=str,
    )
    def test_another_rule_part_or_step(self, said):
        found = check(**said)
        assert verdicts(found) == [Verdict.UNSAFE]
        assert rules(found) == ["content/deviation-unused", RULE]
        assert not any(finding.deviated for finding in found.findings)

    def test_what_is_found_at_the_end_has_no_step(self):
        found = check(bad("leak/left-open"), rule="leak/left-open", part=None, step="unscrew-housing")
        assert not any(finding.deviated for finding in found.findings)

    def test_the_rest_of_what_is_broken(self):
        found = check(bad("leak/left-open"), rule="leak/left-open")
        assert verdicts(found) == [Verdict.UNSAFE]

    def test_another_procedure(self):
        files = bad()
        second = files["procedure.yaml"].replace("procedure: example", "procedure: second")
        found = example.check({**deviating(files), "second.yaml": second})
        assert verdicts(found) == [Verdict.SAFE_WITH_DEVIATIONS, Verdict.UNSAFE]
        assert [(f.procedure, f.deviated) for f in found.findings if f.rule == RULE] == [
            ("example", True),
            ("second", False),
        ]


class TestExpired:
    def test_it_does_nothing_and_is_told(self):
        found = check(until="2026-05-31")
        assert verdicts(found) == [Verdict.UNSAFE]
        assert rules(found) == ["content/deviation-expired", RULE]
        (fault,) = [f for f in found.findings if f.rule == "content/deviation-expired"]
        assert fault.level is Level.ERROR
        assert "2026-05-31" in fault.message and RULE in fault.message

    def test_it_depends_on_the_day_that_is_given(self):
        library = Library.from_texts(deviating(bad(), until="2026-05-31"))
        assert verdicts(library.check(today=date(2026, 5, 31))) == [Verdict.SAFE_WITH_DEVIATIONS]
        assert verdicts(library.check(today=date(2026, 6, 1))) == [Verdict.UNSAFE]


class TestUnused:
    def test_it_is_told_where_it_stands(self):
        files = deviating(example.clean())
        (fault,) = example.check(files).findings
        assert (fault.rule, fault.level) == ("content/deviation-unused", Level.WARNING)
        assert fault.span is not None
        assert files[fault.file].splitlines()[fault.span.line - 1] == f"  - rule: {RULE}"
        assert verdicts(example.check(files)) == [Verdict.SAFE]

    def test_one_unit_that_needs_it_is_enough(self):
        """On the second unit the housing has no seal, so nothing departs there."""
        files = bad()
        second = files["unit.yaml"].replace("unit: EX-1", "unit: EX-2").replace("seal: O-ring, ", "")
        procedure = files["procedure.yaml"].replace("units: [EX-1]", "units: [EX]")
        found = checked(deviating({**files, "procedure.yaml": procedure, "second.yaml": second}))
        assert verdicts(found) == [Verdict.SAFE_WITH_DEVIATIONS, Verdict.SAFE]
        assert rules(found) == [RULE]

    def test_a_check_of_a_part_of_the_library_cannot_tell(self):
        library = Library.from_texts(deviating(example.clean()))
        assert library.check(unit="EX-1", today=date(2026, 6, 1)).findings == ()


class TestRefused:
    def test_a_rule_that_does_not_exist(self):
        found = check(rule="leak/seal-not-inspect")
        assert verdicts(found) == [Verdict.UNSAFE]
        assert rules(found) == ["graph/unknown-name", RULE]
        assert any(f"`{RULE}`?" in finding.message for finding in found.findings)

    @pytest.mark.parametrize("rule", [rule.id for rule in RULES.values() if rule.never])
    def test_a_never_rule(self, rule):
        (fault,) = check(example.clean(), rule=rule).findings
        assert fault.rule == "file/schema"
        assert f"`{rule}` takes no deviation" in fault.message

    def test_a_never_rule_stays_an_error(self):
        found = check(bad("energy/opened-live"), rule="energy/opened-live")
        assert verdicts(found) == [Verdict.UNSAFE]
        assert {(f.level, f.deviated) for f in found.findings if f.rule == "energy/opened-live"} == {
            (Level.ERROR, False)
        }

    @pytest.mark.parametrize("until", ["2026-02-30", "31.12.2027", "next year"])
    def test_a_date_that_is_none(self, until):
        found = check(until=until)
        (fault,) = [f for f in found.findings if f.rule == "file/schema"]
        assert until in fault.message and "date" in fault.message
        assert Verdict.SAFE_WITH_DEVIATIONS not in verdicts(found)

    def test_neither_step_nor_part(self):
        found = check(part=None)
        assert any("`step` or `part`" in f.message for f in found.findings if f.rule == "file/schema")

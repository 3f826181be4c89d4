"""The report for servers that run checks, held against the schema that Jenkins publishes.

`junit-10.xsd` is that of the xUnit plugin of Jenkins (MIT, its notice inside), as pytest's sources carry it.
"""

from dataclasses import replace
from functools import cache
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
import xmlschema
from hypothesis import given
from hypothesis import strategies as st

from proctool.model.finding import Level
from proctool.model.verdict import Verdict
from proctool.report.junit import report
from tests.report.things import BARE, FULL, fault, judged


@cache
def schema():
    return xmlschema.XMLSchema(str(Path(__file__).with_name("junit-10.xsd")))


def suites(findings=(), verdicts=(), files=()):
    text = report("L", findings, verdicts, files)
    whole = ET.fromstring(text.encode())  # noqa: S314 - our own
    schema().validate(whole)
    return whole


def shape(whole):
    return {
        suite.get("name"): {case.get("name"): [child.tag for child in case] for case in suite}
        for suite in whole
    }


def test_the_schema_refuses_what_is_not_right():
    whole = suites([FULL])
    del whole[0].attrib["tests"]
    assert not schema().is_valid(whole)


def test_a_suite_for_each_procedure_a_case_for_each_unit_and_file():
    verdicts = [judged(), judged(unit="U-2"), judged("other")]
    assert shape(suites([], verdicts, ["p.yaml", "library.yaml"])) == {
        "files": {"library.yaml": [], "p.yaml": []},
        "p": {"as written": [], "U-1": [], "U-2": []},
        "other": {"as written": [], "U-1": []},
    }


def test_errors_are_failures_and_the_rest_is_told_beside():
    findings = [
        fault(file="library.yaml"),
        fault(procedure="p", level=Level.WARNING),
        fault(procedure="p", unit="U-2", level=Level.ADVICE),
        FULL,
        fault(procedure="p", unit="U-1", level=Level.WARNING),
    ]
    whole = suites(findings, [judged(verdict=Verdict.UNSAFE), judged(unit="U-2")])
    assert shape(whole) == {
        "files": {"library.yaml": ["failure"]},
        "p": {"as written": ["system-out"], "U-1": ["failure", "system-out"], "U-2": ["system-out"]},
    }
    assert [(s.get("tests"), s.get("failures"), s.get("errors")) for s in whole] == [
        ("1", "1", "0"),
        ("3", "1", "0"),
    ]
    assert (whole.get("tests"), whole.get("failures")) == ("4", "2")


def test_a_failure_tells_all():
    failure = suites([FULL], [judged(verdict=Verdict.UNSAFE)]).find(".//failure")
    assert failure.attrib == {"type": "energy/opened-live", "message": "The „Größe“ is opened."}
    assert failure.text == (
        "p.yaml:3:5 error energy/opened-live (open-up/first/open)\n"
        "  The „Größe“ is opened.\n"
        "  Write it so.\n"
        "  1. Close it.\n"
        "  2. It is <dry>. (not so)\n"
        "  3. Open it."
    )


def test_several_errors_of_one_case_are_one_failure():
    failures = suites([FULL, replace(FULL, rule="leak/left-open")]).findall(".//failure")
    assert [failure.attrib for failure in failures] == [
        {
            "type": "energy/opened-live, leak/left-open",
            "message": "2 errors: energy/opened-live, leak/left-open",
        }
    ]


@pytest.mark.parametrize("verdict", [Verdict.UNSAFE, Verdict.UNPROVEN])
def test_a_case_that_is_not_proven_fails_without_any_error(verdict):
    failure = suites([], [judged(verdict=verdict)]).find(".//failure")
    assert (failure.get("type"), failure.text) == (verdict.value, f"The verdict is {verdict.value}.")


def test_what_is_about_the_whole_library_is_a_case_too():
    assert shape(suites([BARE])) == {"files": {".": ["failure"]}}


@given(st.text(), st.text())
def test_any_text_is_xml(message, file):
    suites([fault(message=message, file=file)])

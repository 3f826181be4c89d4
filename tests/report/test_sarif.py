"""The report for code scanning, held against the published schema and read as a viewer reads it.

`sarif-2.1.0.schema.json` is the schema of SARIF 2.1.0 as the OASIS technical committee published it in its
last revision before the standard (rtm.5). It is taken from the npm package `@microsoft/jest-sarif`
1.0.0-beta.0 (MIT).
"""

import json
from dataclasses import replace
from pathlib import Path

import pytest
from jsonschema import Draft4Validator

from proctool.model.finding import Level
from proctool.model.span import Span
from proctool.model.verdict import Verdict
from proctool.report.baseline import fingerprint
from proctool.report.sarif import About, Context, report
from tests.report.things import BARE, FULL, fault, judged

SCHEMA = json.loads(Path(__file__).with_name("sarif-2.1.0.schema.json").read_text(encoding="utf-8"))
ABOUT = {"energy/opened-live": About(Level.ERROR, "Nothing is opened live.", "It hurts.", "*error* …")}
STEP = Span("q.yaml", 2, 3, 4, 1)
CONTEXT = Context("0.1.0", "", ABOUT, {("p.yaml", 3): "    open: first"}, {("p", "U-1", "b"): STEP})


def run(findings, verdicts=(), context=CONTEXT):
    whole = json.loads(report(findings, verdicts, context))
    Draft4Validator(SCHEMA).validate(whole)
    assert whole["version"] == "2.1.0"
    return whole["runs"][0]


def test_the_schema_refuses_what_is_not_right():
    whole = json.loads(report([FULL], [], CONTEXT))
    whole["runs"][0]["results"][0]["level"] = "advice"
    assert not Draft4Validator(SCHEMA).is_valid(whole)


def test_of_nothing():
    found = run([], [judged(verdict=Verdict.UNPROVEN)])
    assert (found["results"], found["tool"]["driver"]["rules"]) == ([], [])
    assert found["properties"] == {"verdicts": [{"procedure": "p", "unit": "U-1", "verdict": "unproven"}]}


def test_a_result_with_all_that_it_says():
    (result,) = run([FULL])["results"]
    assert result == {
        "ruleId": "energy/opened-live",
        "ruleIndex": 0,
        "level": "error",
        "message": {"text": "The „Größe“ is opened. Write it so."},
        "partialFingerprints": {"proctool/v1": fingerprint(FULL)},
        "properties": {
            "procedure": "p",
            "unit": "U-1",
            "step": "open-up/first/open",
            "part": "first",
            "energies": ["water"],
        },
        "locations": [
            {
                "physicalLocation": {
                    "artifactLocation": {"uri": "p.yaml", "uriBaseId": "%SRCROOT%"},
                    "region": {
                        "startLine": 3,
                        "startColumn": 5,
                        "endLine": 3,
                        "endColumn": 9,
                        "snippet": {"text": "open"},
                    },
                },
                "logicalLocations": [
                    {"name": "open-up/first/open", "fullyQualifiedName": "p/U-1/open-up/first/open"}
                ],
            }
        ],
        "relatedLocations": [
            {
                "physicalLocation": {
                    "artifactLocation": {"uri": "q.yaml", "uriBaseId": "%SRCROOT%"},
                    "region": {"startLine": 7, "startColumn": 1, "endLine": 7, "endColumn": 2},
                },
                "message": {"text": "the first one"},
            }
        ],
        "codeFlows": result["codeFlows"],
    }


def test_a_trace_is_a_flow_of_texts_and_places():
    (result,) = run([FULL])["results"]
    ((flow,),) = [[thread["locations"] for thread in flow["threadFlows"]] for flow in result["codeFlows"]]
    assert [(at["executionOrder"], at["location"]["message"]["text"]) for at in flow] == [
        (1, "Close it."),
        (2, "It is <dry>. (not so)"),
        (3, "Open it."),
    ]
    names = [at["location"]["logicalLocations"][0]["fullyQualifiedName"] for at in flow]
    assert names == [move.step for move in FULL.trace]
    place = flow[1]["location"]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == "q.yaml"
    assert place["region"] == {"startLine": 2, "startColumn": 3, "endLine": 4, "endColumn": 1}


def test_places_are_relative_and_quoted():
    where = "sub folder/p #1.yaml"
    found = run([fault(file=where)], context=replace(CONTEXT, folder="our/"))
    (location,) = found["results"][0]["locations"]
    assert location["physicalLocation"]["artifactLocation"]["uri"] == "our/sub%20folder/p%20%231.yaml"
    assert found["columnKind"] == "unicodeCodePoints"


def test_what_is_about_the_whole_library_has_no_place():
    (result,) = run([BARE])["results"]
    assert "locations" not in result and "codeFlows" not in result


@pytest.mark.parametrize(("level", "told"), [("error", "error"), ("warning", "warning"), ("advice", "note")])
def test_levels(level, told):
    assert run([fault(level=Level(level))])["results"][0]["level"] == told


def test_each_rule_stands_once_with_its_page():
    found = run([FULL, fault(), FULL, BARE])
    rules = found["tool"]["driver"]["rules"]
    assert [rule["id"] for rule in rules] == ["energy/opened-live", "graph/unknown-name", "file/limit"]
    assert [result["ruleIndex"] for result in found["results"]] == [0, 1, 0, 2]
    assert rules[0] == {
        "id": "energy/opened-live",
        "shortDescription": {"text": "Nothing is opened live."},
        "fullDescription": {"text": "It hurts."},
        "help": {"text": "Nothing is opened live. It hurts.", "markdown": "*error* …"},
        "defaultConfiguration": {"level": "error"},
    }


def test_what_a_deviation_covers_is_suppressed():
    departed, other = run([replace(FULL, deviated=True), FULL])["results"]
    assert [s["kind"] for s in departed["suppressions"]] == ["inSource"]
    assert departed["suppressions"][0]["justification"] == FULL.message
    assert "suppressions" not in other

"""The report for programs: its keys, their types, and what may be null."""

import json

from hypothesis import given
from hypothesis import strategies as st

from proctool.model.finding import Finding, Level, Move
from proctool.model.span import Span
from proctool.model.verdict import Judgement, Verdict
from proctool.report.json import report

BARE = Finding("file/limit", Level.ERROR, "Too many files.", ".")
FULL = Finding(
    rule="energy/opened-live",
    level=Level.WARNING,
    message="The „Größe“ is opened.",
    file="sub/p.yaml",
    span=Span("sub/p.yaml", 12, 5, 12, 9),
    procedure="p",
    unit="U-1",
    step="a/b",
    part="first",
    energies=("water", "mains"),
    trace=(Move("a/check", False), Move("a/b", None)),
    told=("Look.", "Open."),
    help="Isolate it.",
)


def test_a_bare_report():
    assert json.loads(report(None, [], [])) == {
        "library": None,
        "verdicts": [],
        "findings": [],
        "counts": {"error": 0, "warning": 0, "advice": 0},
    }


def test_a_finding_with_nothing_but_its_message():
    (finding,) = json.loads(report("L", [BARE], []))["findings"]
    assert finding == {
        "rule": "file/limit",
        "level": "error",
        "procedure": None,
        "unit": None,
        "step": None,
        "part": None,
        "energies": [],
        "file": ".",
        "line": None,
        "column": None,
        "message": "Too many files.",
        "trace": [],
        "help": None,
        "path": [],
        "mend": None,
    }


def test_a_finding_with_everything():
    (finding,) = json.loads(report("L", [FULL], []))["findings"]
    assert finding == {
        "rule": "energy/opened-live",
        "level": "warning",
        "procedure": "p",
        "unit": "U-1",
        "step": "a/b",
        "part": "first",
        "energies": ["water", "mains"],
        "file": "sub/p.yaml",
        "line": 12,
        "column": 5,
        "message": "The „Größe“ is opened.",
        "trace": [{"step": "a/check", "passed": False}, {"step": "a/b", "passed": None}],
        "help": "Isolate it.",
        "path": [],
        "mend": None,
    }


def test_orders_are_exact_however_many():
    orders = 3**200
    (verdict,) = json.loads(report("L", [], [Judgement("p", "U-1", Verdict.SAFE, orders, 7)]))["verdicts"]
    assert verdict == {
        "procedure": "p",
        "unit": "U-1",
        "verdict": "safe",
        "orders": str(orders),
        "states": 7,
    }


def test_verdicts_by_their_names():
    verdicts = [Judgement("p", v.name, v, None, 0) for v in Verdict]
    assert [v["verdict"] for v in json.loads(report("L", [], verdicts))["verdicts"]] == [
        "safe",
        "safe_with_deviations",
        "unsafe",
        "unproven",
    ]


def test_findings_keep_the_order_they_come_in_and_none_is_merged():
    findings = [FULL, BARE, FULL]
    whole = json.loads(report("L", findings, []))
    assert [f["rule"] for f in whole["findings"]] == [f.rule for f in findings]
    assert whole["counts"] == {"error": 1, "warning": 2, "advice": 0}


def test_other_letters_stand_as_they_are():
    said = report("工場", [FULL], [])
    assert "工場" in said and "Größe" in said and "\\u" not in said


@given(st.text(), st.text())
def test_any_text_comes_back_as_it_was(library, message):
    whole = json.loads(report(library, [Finding("r/r", Level.ADVICE, message, "f.yaml")], []))
    assert (whole["library"], whole["findings"][0]["message"]) == (library, message)
